"""The app in the browser."""

from polewright.web.app import beside, create_pages

__all__ = ["beside", "create_pages"]
