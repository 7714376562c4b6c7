"""The page in a real browser: nothing overflows, nothing runs, everything has a name and can be read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver import Chrome

from shell.report_html import html
from tests.report.conftest import Demo
from tests.report.test_written import hostile_paper

WIDTHS = (380, 800, 1200)
LEAST = 10.0  # px of the smallest text in a picture, as shown

OVERFLOWING = """
return [...document.querySelectorAll('body *')]
  .filter(one => !one.closest('.scroll') || one.classList.contains('scroll'))
  .filter(one => one.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
  .map(one => one.tagName + ' ' + one.textContent.slice(0, 40));
"""
# Pairs of texts in one picture that lie over each other, and texts that leave their box or the picture.
TANGLED = """
const found = [];
for (const svg of document.querySelectorAll('svg')) {
  const view = svg.viewBox.baseVal;
  const texts = [...svg.querySelectorAll('text')].map(one => [one.textContent, one.getBBox()]);
  const boxes = [...svg.querySelectorAll('rect')].map(one => one.getBBox());
  texts.forEach(([said, box], index) => {
    if (box.x < -0.5 || box.y < -0.5 || box.x + box.width > view.width + 0.5 || box.y + box.height > view.height + 0.5)
      found.push('outside: ' + said);
    for (const rect of boxes) {
      const begins = box.x > rect.x && box.x < rect.x + rect.width;
      const level = box.y + box.height / 2 > rect.y && box.y + box.height / 2 < rect.y + rect.height;
      if (begins && level && box.x + box.width > rect.x + rect.width) found.push('over its edge: ' + said);
    }
    for (const [other, two] of texts.slice(index + 1)) {
      const across = Math.min(box.x + box.width, two.x + two.width) - Math.max(box.x, two.x);
      const down = Math.min(box.y + box.height, two.y + two.height) - Math.max(box.y, two.y);
      if (across > 1 && down > 4) found.push(said + ' / ' + other);
    }
  });
}
return found;
"""
SMALLEST = """
return Math.min(...[...document.querySelectorAll('svg text')].map(one => {
  const svg = one.ownerSVGElement;
  return Number(one.getAttribute('font-size')) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
}));
"""
# How much words stand out from what lies behind them, after WCAG 2 (relative luminance), from memory.
CONTRASTS = """
const numbers = text => text.match(/[0-9.]+/g).map(Number);
const light = ([r, g, b]) => [r, g, b].map(one => one / 255)
  .map(one => one <= 0.03928 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4)
  .reduce((sum, one, index) => sum + one * [0.2126, 0.7152, 0.0722][index], 0);
const behind = one => {
  for (; one; one = one.parentElement) {
    const colour = numbers(getComputedStyle(one).backgroundColor);
    if (colour.length < 4 || colour[3] > 0) return colour;
  }
};
return [...document.querySelectorAll('p, dt, dd, small, li, h1, h2, summary, figcaption')].map(one => {
  const style = getComputedStyle(one), ground = behind(one), ink = numbers(style.color);
  const part = Number(style.opacity);
  const mixed = ink.slice(0, 3).map((value, index) => value * part + ground[index] * (1 - part));
  const [high, low] = [light(mixed), light(ground)].sort((a, b) => b - a);
  return [(high + 0.05) / (low + 0.05), one.tagName + ' ' + one.className];
});
"""


def show(browser: Chrome, page: Path, width: int, scheme: str = "light", media: str = "screen") -> None:
    """Open a page at a width, in light or dark, as on a screen or in print."""
    size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": media, "features": features})
    browser.get(page.as_uri())


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page on which everything a person could say is hostile."""
    page = tmp_path_factory.mktemp("hostile") / "page.html"
    page.write_text(html(hostile_paper()), encoding="utf-8")
    return page


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_overflows_and_nothing_is_complained_of(browser: Chrome, demo: Demo, width: int) -> None:
    """On a phone, a tablet and a screen, the page fits, pictures apart that scroll in a box of their own."""
    show(browser, demo.page, width)
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    assert browser.execute_script(OVERFLOWING) == []
    assert browser.get_log("browser") == []


@pytest.mark.parametrize("width", WIDTHS)
def test_pictures_can_be_read(browser: Chrome, demo: Demo, width: int) -> None:
    """Words in pictures are large enough, stay in their boxes, and never lie over each other."""
    show(browser, demo.page, width)
    assert browser.execute_script("return document.querySelectorAll('svg').length") == 3
    assert browser.execute_script(TANGLED) == []
    assert browser.execute_script(SMALLEST) >= LEAST


def test_every_picture_and_scroll_box_has_a_name(browser: Chrome, demo: Demo) -> None:
    """Who cannot see the page is told what is there, and can scroll it by keyboard."""
    show(browser, demo.page, 380)
    browser.execute_cdp_cmd("Accessibility.enable", {})
    nodes: list[dict[str, Any]] = browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    names = [
        (node["role"]["value"], node.get("name", {}).get("value", ""))
        for node in nodes
        if not node.get("ignored") and node["role"]["value"] in ("image", "region", "heading", "DisclosureTriangle")
    ]
    assert len([one for one in names if one[0] == "image"]) == 3
    assert all(name for _, name in names), names
    boxes = "[...document.querySelectorAll('.scroll')].every(one => one.tabIndex === 0 && one.ariaLabel)"
    assert browser.execute_script(f"return {boxes}")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_stand_out_in_light_and_dark(browser: Chrome, demo: Demo, scheme: str) -> None:
    """Every kind of text has a contrast of 4.5 at least, as WCAG 2 asks of small text (from memory)."""
    show(browser, demo.page, 800, scheme)
    weak = [one for one in browser.execute_script(CONTRASTS) if one[0] < 4.5]
    assert weak == []
    ground = browser.execute_script("return getComputedStyle(document.body).backgroundColor")
    assert (ground == "rgb(255, 255, 255)") == (scheme == "light")


def test_in_print_the_pictures_are_whole(browser: Chrome, demo: Demo) -> None:
    """Paper does not scroll: every picture is as wide as the page at most."""
    show(browser, demo.page, 680, media="print")
    assert browser.execute_script(
        "return [...document.querySelectorAll('svg, table')].every("
        "one => one.getBoundingClientRect().right <= document.documentElement.clientWidth + 0.5)"
    )
    assert browser.execute_script(SMALLEST) >= 9
    pdf = browser.execute_cdp_cmd("Page.printToPDF", {})
    assert pdf["data"]


@pytest.mark.parametrize("width", [380, 1200])
def test_hostile_text_does_nothing(browser: Chrome, hostile: Path, width: int) -> None:
    """No script, no link, no fetch, no dialog, and not even a word of 3000 letters breaks the page."""
    show(browser, hostile, width)
    count = "return document.querySelectorAll('script, a, img, iframe, object, form, [onclick], [onload]').length"
    assert browser.execute_script(count) == 0
    assert browser.execute_script("return performance.getEntriesByType('resource').length") == 0
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    assert browser.execute_script(OVERFLOWING) == []
    assert browser.execute_script(TANGLED) == []
    assert browser.get_log("browser") == []
