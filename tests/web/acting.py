"""How a person's hand is played in a real browser, and what is counted of it."""

import io
import time
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Download, Page

PHONE, TABLET, LAPTOP, SCREEN = (360, 780), (820, 1180), (1366, 768), (1920, 1080)
SIZES = (PHONE, TABLET, LAPTOP, SCREEN)
OLDER = "document.body.dataset.older || ''"
SETTLED = f"""document.readyState === 'complete' && !({OLDER}) && !document.querySelector('#view [hx-trigger=load]')"""


def until(page: "Page", script: str, wanted: object) -> None:
    """Wait until a script gives what is wanted; the page's policy lets no test put one into it."""
    deadline = time.monotonic() + 30
    while (found := _value(page, script)) != wanted:
        assert time.monotonic() < deadline, f"{script} is still {found!r}, not {wanted!r}"
        page.wait_for_timeout(15)


def _value(page: "Page", script: str) -> object:
    """What a script gives now; ``None`` while another page is being loaded."""
    from playwright.sync_api import Error

    try:
        return page.evaluate(script)
    except Error:
        return None


def settled(page: "Page") -> None:
    """Wait until what is shown is of what stands in the fields, and drawn."""
    until(page, SETTLED, True)


def do(page: "Page", deed: str) -> None:
    """Press the button of a deed, wherever it stands, and wait for the answer."""
    page.locator(f"button[name=do][value='{deed}']:not(.unseen):visible").first.click()
    settled(page)


@dataclass
class Hand:
    """Acts and scrolls of one person: a press is an act, and so is something written or a file chosen."""

    page: "Page"
    acts: int = 0
    scrolled: float = 0.0

    @classmethod
    def at(cls, page: "Page", address: str, size: tuple[int, int] = LAPTOP) -> "Hand":
        """A hand on the page at an address; coming there is no act."""
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.goto(address)
        settled(page)
        return cls(page)

    def press(self, selector: str) -> None:
        """Press something, brought into view as far as that takes."""
        self._reach(selector)
        self.page.locator(selector).first.click()
        settled(self.page)
        self.acts += 1

    def deed(self, deed: str) -> None:
        """Press the button of a deed, wherever it stands."""
        self.press(f"button[name=do][value='{deed}']:not(.unseen):visible")

    def tap(self, selector: str) -> None:
        """Tap a place of the picture with a finger."""
        self.page.locator(selector).first.tap()
        settled(self.page)
        self.acts += 1

    def write(self, text: str) -> None:
        """Write a number where the hand already is, and confirm it: one act."""
        until(self.page, "document.activeElement.matches('.pad .writing input')", True)
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")
        settled(self.page)
        self.acts += 1

    def fill(self, selector: str, text: str) -> None:
        """Write into a field: one act."""
        self._reach(selector)
        self.page.locator(selector).first.fill(text)
        settled(self.page)
        self.acts += 1

    def choose(self, path: Path) -> None:
        """Choose a file to open: one act."""
        self.page.set_input_files("#open-file", path)
        self.acts += 1

    def take(self, selector: str = "#take-packet") -> "Download":
        """Press what gives a file."""
        self._reach(selector)
        with self.page.expect_download() as caught:
            self.page.locator(selector).first.click()
        self.acts += 1
        return caught.value

    def _reach(self, selector: str) -> None:
        before = self.page.evaluate("scrollY")
        self.page.locator(selector).first.scroll_into_view_if_needed()
        self.scrolled += abs(self.page.evaluate("scrollY") - before)


def unzipped(caught: "Download") -> dict[str, bytes]:
    """The files of an archive that was taken."""
    with zipfile.ZipFile(io.BytesIO(Path(caught.path()).read_bytes())) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def drawn_text(page: "Page") -> str:
    """Everything that is written on the picture of the flange."""
    return page.locator("svg.flange").text_content() or ""
