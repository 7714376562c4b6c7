"""What the tests of the report share: the invented demo played once, and a real browser."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service

from shell.main import main
from tests.shipped import shipped_base

FLAGS = (
    *("headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run", "disable-background-networking"),
    *("disable-component-update", "disable-sync", "hide-scrollbars", "disable-dev-shm-usage"),
)


@dataclass(frozen=True)
class Demo:
    """The demo as played: what it wrote to the screen, and its page."""

    screen: str
    page: Path


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """The demo, played once for all tests."""
    shipped_base()
    folder = tmp_path_factory.mktemp("demo")
    page, screen = folder / "demo.html", io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(screen):
        patch.setenv("LAMPWRIGHT_DATA", str(folder / "data"))
        patch.setenv("COLUMNS", "100")
        assert main(["demo", "--html", str(page)]) == 0
    assert not (folder / "data").exists(), "the demo kept something among the person's jobs"
    return Demo(screen.getvalue(), page)


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    """A headless browser with a new, empty profile."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    driver = shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.skip("needs chromium and chromedriver (Debian: chromium, chromium-driver)")
    options = Options()
    for flag in FLAGS:
        options.add_argument(f"--{flag}")
    options.add_argument(f"--user-data-dir={tmp_path_factory.mktemp('profile')}")
    options.binary_location = program
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    opened = Chrome(options=options, service=Service(driver))
    yield opened
    opened.quit()
