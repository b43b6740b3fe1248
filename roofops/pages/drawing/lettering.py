"""How wide a word will be in the lettering face, so that plates and flags fit it.

Widths in em of a condensed grotesque, measured once from its advance widths and rounded to 0.02 em. The faces in the
style sheet differ by a few percent, so SAFETY is added.
"""

_REGULAR = {
    0.18: "'",
    0.20: ",;",
    0.22: " ijl\N{NO-BREAK SPACE}",
    0.24: "!-:I[]|·íÍ¡",
    0.26: ".",
    0.30: "`rt{}",
    0.32: '"()f',
    0.36: "\\",
    0.38: "/^°",
    0.40: "_",
    0.42: "?vy¿",
    0.44: "*<xz",
    0.46: ">ceksé",
    0.48: "=FJLahnu×áúñü",
    0.50: "$+0123456789Ebdgopq−óÉ",
    0.52: "STYZ",
    0.54: "#&BKR",
    0.56: "CPUVXÚ",
    0.58: "AD~–Á",
    0.60: "GOQÓ",
    0.62: "HNÑ",
    0.64: "%w",
    0.68: "—",
    0.76: "@MWm",
}
_BOLD = {
    0.16: "'",
    0.24: " ,j\N{NO-BREAK SPACE}",
    0.26: "!;[]il|í",
    0.28: ":I·Í¡",
    0.30: ".t{}",
    0.32: '"()f',
    0.34: "/`r",
    0.36: "-",
    0.38: "\\°",
    0.40: "^_",
    0.44: "<?vy¿",
    0.46: "*>csxz×",
    0.48: "+FLaek−áé",
    0.50: "$0123456789=EJbdghnopquóúñüÉ",
    0.52: "#Z",
    0.54: "STY–",
    0.56: "BCDKPRX~",
    0.58: "&GUVÚ",
    0.60: "AOQÁÓ",
    0.62: "HNÑ",
    0.64: "%w",
    0.66: "—",
    0.74: "Wm",
    0.76: "@M",
}
_UNKNOWN_EM = 0.62  # a letter outside the table: as wide as an H
SAFETY = 1.04

_WIDTHS = {
    False: {char: width for width, chars in _REGULAR.items() for char in chars},
    True: {char: width for width, chars in _BOLD.items() for char in chars},
}


def text_width(text: str, size_px: float, *, bold: bool = False) -> float:
    """Return the width [px] that a line of text takes in the lettering face at a font size [px]."""
    widths = _WIDTHS[bold]
    return SAFETY * size_px * sum(widths.get(char, _UNKNOWN_EM) for char in text)
