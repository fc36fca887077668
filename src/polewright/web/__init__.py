"""The app in the browser."""

from polewright.web.app import combined_app, create_pages

__all__ = ["combined_app", "create_pages"]
