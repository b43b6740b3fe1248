"""From bytes to JSON, and plain words for what is wrong with a document."""

import json
from typing import Any


class UnreadableForecast(ValueError):
    """A document that cannot be trusted as a forecast; the message says why in words."""


def load(document: bytes | str) -> Any:
    """The JSON value of a document.

    Raises
    ------
    UnreadableForecast
        It is empty, a web page, not UTF-8, cut off or no JSON at all.
    """
    if isinstance(document, bytes):
        try:
            document = document.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise UnreadableForecast("The document is not UTF-8 text.") from None
    text = document.removeprefix("\ufeff").strip()
    if not text:
        raise UnreadableForecast("The document is empty.")
    if text.startswith("<"):
        raise UnreadableForecast("The document is a web page, not a forecast.")
    try:
        return json.loads(text, parse_constant=_refuse_constant)
    except json.JSONDecodeError as error:
        # An error near the end is a transfer that broke off, or an error text written behind the data.
        raise UnreadableForecast(
            f"The document is cut off or no JSON (character {error.pos} of {len(text)})."
        ) from None
    except RecursionError:
        raise UnreadableForecast("The document is nested too deeply.") from None


def load_object(document: bytes | str) -> dict[str, Any]:
    """The JSON object of a document; an error answer of the service is refused in its own words.

    Raises
    ------
    UnreadableForecast
        As `load`; or it is no object, or an error answer.
    """
    value = load(document)
    if not isinstance(value, dict):
        raise UnreadableForecast("The document is no JSON object.")
    if "properties" not in value and "title" in value and "status" in value:
        raise UnreadableForecast(f"The service answered with an error: {value['title']}.")
    return value


def number(value: Any) -> float:
    """A JSON number, or a text that holds one; NaN for null and everything else."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return float("nan")
    try:
        result = float(value)
    except (ValueError, OverflowError):
        return float("nan")
    return result if abs(result) != float("inf") else float("nan")


def _refuse_constant(name: str) -> Any:
    raise UnreadableForecast(f"The document holds {name}, which is no JSON.")
