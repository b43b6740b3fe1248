"""Capacity boxes: filled is used, empty is free, hatched chalk is over the limit."""

from django.utils.safestring import SafeString

from roofops.pages.drawing.svg import el, picture

BOX_WIDTH, BOX_HEIGHT, BOX_STEP = 13.0, 19.0, 17.0
WIDEST_PX = 84.0


def capacity_boxes(used: int, limit: int) -> SafeString:
    """Return one box for each thing the day may take, and one more for each above it; words stand beside it."""
    count = max(used, limit, 1)
    step = min(BOX_STEP, WIDEST_PX / count)
    width = min(BOX_WIDTH, step - 2)
    boxes = []
    for i in range(max(used, limit)):
        place = {"x": 1 + i * step, "y": 1, "width": width, "height": BOX_HEIGHT}
        if i >= limit:
            boxes.append(el("rect", **place, fill="url(#p-over)", class_="over-box"))
        elif i < used:
            boxes.append(el("rect", **place, class_="used-box"))
        else:
            boxes.append(el("rect", **place, class_="free-box"))
    return picture(WIDEST_PX + 3, BOX_HEIGHT + 2, "", *boxes, class_="boxes")
