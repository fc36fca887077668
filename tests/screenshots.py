"""Pictures of the app for the documents, by a real Chromium: `python -m tests.screenshots`."""

import shutil
import sys
import tempfile
from pathlib import Path

from benchmarks.edit_latency import ARGS, served
from playwright.sync_api import Browser, sync_playwright

__all__ = ["main"]

OUT = Path(__file__).parents[1] / "docs" / "img"
SHOTS = (
    ("wall", "/poles/reedlight-7/wall?section=4", 1440, 900, "light", "6"),
    ("wall-dark", "/poles/reedlight-7/wall?section=4", 1440, 900, "dark", "6"),
    ("wall-phone", "/poles/reedlight-7/wall?section=4", 390, 844, "light", "6"),
    ("today", "/", 1440, 900, "light", ""),
    ("pole", "/poles/tallreed-11/pole", 1440, 900, "light", ""),
    ("cut", "/poles/reedlight-7/cut?section=4", 1440, 900, "light", ""),
    ("brief", "/poles/crookbough-5/brief", 1440, 900, "light", ""),
    ("sheet", "/poles/peerglass-8/sheet", 1440, 900, "light", ""),
    ("shelf", "/poles/tallreed-11/shelf", 1440, 900, "light", ""),
    ("rules", "/poles/reedlight-7/rules", 1440, 900, "light", ""),
    ("spread", "/poles/crookbough-5/spread", 1440, 900, "light", ""),
)


def main() -> int:
    """Write the pictures; 1 where there is no Chromium."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if chromium is None:
        sys.stderr.write("screenshots: no Chromium found; install one, for example: apt-get install chromium\n")
        return 1
    OUT.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder) / "workshop.sqlite") as address,
        sync_playwright() as p,
    ):
        browser = p.chromium.launch(executable_path=chromium, headless=True, args=ARGS)
        try:
            for name, place, width, height, scheme, turns in SHOTS:
                _take(browser, address + place, OUT / f"{name}.png", (width, height), scheme, turns)
        finally:
            browser.close()
    return 0


def _take(browser: Browser, url: str, path: Path, size: tuple[int, int], scheme: str, turns: str) -> None:
    """One picture; with `turns`, after the second ply was given so many; of the spread, once it is sampled."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if scheme == "dark" else "light"
    )
    page = context.new_page()
    page.goto(url)
    if turns and page.input_value("#ply-1-turns") != turns:
        page.fill("#ply-1-turns", turns)
        page.keyboard.press("Enter")
        page.wait_for_selector(".ghost", state="attached")
    if page.query_selector("#copies"):
        page.click("main form.fields button")
        page.wait_for_selector(".picture.wide svg", timeout=300_000)
    page.evaluate("() => document.activeElement.blur()")
    page.wait_for_timeout(400)
    page.screenshot(path=path)
    context.close()


if __name__ == "__main__":
    raise SystemExit(main())
