"""What tests in a browser share: how the pages say the state of a pole, and the way from one place to another."""

from playwright.sync_api import Page
from tests.said import said

__all__ = ["go_to", "less", "place_link", "saved", "unsaved"]


def saved(revision: int) -> str:
    """How the head of a page says that a revision is kept."""
    return said("frame.saved", revision=revision)


def unsaved(revision: int) -> str:
    """How the head of a page says that there are changes since a revision."""
    return said("frame.not_saved", revision=revision)


def less() -> str:
    """What stands after the amount by which a figure fell."""
    return said("change.amount.less", by="#").split("#")[1].strip()


def place_link(place: str) -> str:
    """The link of a place in the list of places, as a selector."""
    return f"nav a[href*='/{place}?']"


def go_to(page: Page, place: str) -> None:
    """Choose a place from the list of places."""
    page.click(place_link(place))
