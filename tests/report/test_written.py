"""The report as Markdown and as a page: sound, whole, and inert whatever a person or a file said."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from engine.events import Answered, Remarked
from engine.mend_events import Fastened
from engine.vehicle_events import AccessNoted
from shell.report_html import html
from shell.report_markdown import inline, markdown, plain
from shell.report_words import paper
from shell.sections import Paper
from tests.report.jobs import SEARCH, VAIN, WHOLE, report
from tests.small import TEXT, base_from

HOSTILE = (
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[click](javascript:alert(1)) <https://example.invalid> https://example.invalid www.example.invalid a@b.invalid",
    "# heading\n\n- item\n\n```\ncode\n```\n| a | b |\n|---|---|",
    "**bold** __bold__ `code` ~~gone~~ &lt;b&gt; &amp; \\",
    "\x1b[31mred\x1b[0m \x1b]8;;https://example.invalid\x07link\x1b]8;;\x07 \x9b2J \u202egnp.exe",
    "{{ 7 * 7 }} {% raw %} ${7*7}",
    "</dd></dl></main><svg onload=alert(1)>",
    "W" * 3000,
)
ALLOWED = {
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "main",
    "header",
    "h1",
    "h2",
    "p",
    "section",
    "dl",
    "dt",
    "dd",
}
ALLOWED |= {
    "div",
    "small",
    "ul",
    "ol",
    "li",
    "figure",
    "figcaption",
    "details",
    "summary",
    "table",
    "thead",
    "tbody",
    "tr",
}
ALLOWED |= {"th", "td", "span", "svg", "desc", "path", "rect", "text", "circle"}


class Page(HTMLParser):
    """Collects the tags and attributes of a page, and whether every tag is closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.named: set[str] = set()
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.named.update(name for name, _ in attrs)
        if tag != "meta" and not (self.get_starttag_text() or "").endswith("/>"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not (self.get_starttag_text() or "").startswith(f"<{tag}") or (self.open and self.open[-1] == tag):
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def tokens(text: str) -> Iterator[Token]:
    """All tokens of a Markdown text, with tables, strike-through and bare links as widely used dialects have them."""
    for token in MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(text):
        yield token
        yield from token.children or ()


def hostile_paper() -> Paper:
    """A report in which every person's text and the base's own words are hostile."""
    bad = " ".join(HOSTILE[:-1]).replace('"', "'")
    words = TEXT.replace("name: broken filament", 'name: "<b onclick=x>broken</b> *filament*"')
    words = words.replace("because: No current can pass.", 'because: "<script>x</script> | # [a](b)"')
    events = (
        *SEARCH,
        *(Remarked(one) for one in HOSTILE),
        *VAIN[:2],
        Fastened(bad, 3, bad),
        AccessNoted("open", bad),
        *VAIN[2:],
        Answered("complaint", "dim", said=bad),
        Answered("volts", "low", said=bad, reading=9.0, working=(bad,)),
    )
    return paper(report(events, base_from(words)), bad)


def test_the_page_holds_only_harmless_tags_and_nothing_is_fetched() -> None:
    """Whatever was said, there is no script, link, picture from elsewhere or handler in the page."""
    text = html(hostile_paper())
    page = Page(text)
    assert page.tags <= ALLOWED, page.tags - ALLOWED
    assert not page.open
    assert not {name for name in page.named if name.startswith("on")} | (
        page.named & {"href", "src", "srcset", "style"}
    )
    assert "url(" not in text and "@import" not in text and "default-src 'none'" in text
    assert any("<script>alert(1)</script>" in one for one in page.words)


def test_nothing_said_is_taken_for_a_template() -> None:
    """Braces of a person stay braces."""
    assert any("{{ 7 * 7 }} {% raw" in one for one in Page(html(hostile_paper())).words)
    assert "{{ 7 \\* 7 }}" in markdown(hostile_paper())


@pytest.mark.parametrize("write", [html, markdown])
def test_control_characters_and_direction_marks_are_gone(write: type[str]) -> None:
    """Neither a terminal nor a reader is led astray."""
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", write(hostile_paper()))


def test_markdown_holds_no_html_link_code_or_foreign_heading() -> None:
    """Its headings are the report's own, and nothing in it is active."""
    said = hostile_paper()
    found = list(tokens(markdown(said)))
    kinds = {token.type for token in found}
    assert not kinds & {
        "html_inline",
        "html_block",
        "link_open",
        "image",
        "code_inline",
        "fence",
        "code_block",
        "s_open",
    }
    heads = [after for token, after in pairwise(found) if token.type == "heading_open"]
    shown = [" ".join(child.content for child in head.children or () if child.type == "text") for head in heads]
    assert shown == [said.title, *(one.title for one in said.sections)]


@given(st.text(max_size=120))
def test_any_text_is_one_plain_paragraph_of_markdown(text: str) -> None:
    """A text by itself reads as that text, in one paragraph without markup."""
    written = plain(text)
    found = list(tokens(written))
    assert {token.type for token in found} <= {"paragraph_open", "inline", "text", "text_special", "paragraph_close"}
    shown = "".join(token.content for token in found if token.type in ("text", "text_special"))
    from shell.output import clean

    assert shown == " ".join(clean(text).split())


@given(st.text(max_size=60))
def test_any_text_fits_into_a_cell_and_behind_a_term(text: str) -> None:
    """In the midst of a line a text opens nothing and ends no cell."""
    table = f"| a | b |\n| --- | --- |\n| {inline(text)} | end |"
    cells = [token for token in MarkdownIt("commonmark").enable("table").parse(table) if token.type == "td_open"]
    assert len(cells) == 2
    kinds = {token.type for token in tokens(f"- **term**: {inline(text)}")}
    assert not kinds & {"html_inline", "link_open", "image", "code_inline", "em_open", "heading_open"}


def test_ordinary_sentences_need_no_escapes() -> None:
    """Markdown on a screen reads like the text itself."""
    for text in (
        "12.6 V, below 0.3 V (from 9.5 to 16 V).",
        "<1 % and >99 %",
        "It's 5 o'clock; not so!",
        "0.4 ohm. Low.",
    ):
        assert plain(text) == text or text.startswith(">")


@pytest.mark.parametrize("write", [html, markdown])
def test_both_kinds_tell_the_same(write: type[str]) -> None:
    """Complaint, verdicts, proof, cause, aim, fasteners, cautions and remarks are in either."""
    text = write(paper(report(WHOLE), "INVENTED"))
    for words in (
        "INVENTED", "broken filament", "green plug", "failed in another way", "the lamp works", "torx screw",
        "lid of the red box", "shaking", "Found, and not mended yet", "57.5 cm", "hot glass", "Bay 2.",
        "licensed hands",
        "Invented for tests.", "ruled out", "In short", "How the odds moved", "Prices are invented.",
    ):  # fmt: skip
        assert words.casefold() in text.casefold(), words


def test_pictures_are_on_the_page_with_the_same_in_words() -> None:
    """Each search has its graph, the job its plot, and each picture a version without one."""
    text = html(paper(report(WHOLE)))
    assert text.count("<svg") == 3 == text.count("<details>") == text.count("<figcaption>")
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("events", [(), SEARCH[:1], SEARCH[:3], SEARCH, (*SEARCH, *VAIN[:3])])
def test_an_unfinished_job_is_called_so(events: tuple[Answered, ...]) -> None:
    """A report on a job in hand says that it is open and claims no cure."""
    text = markdown(paper(report(events)))
    assert "the lamp works" not in text.casefold() and ("open" in text or "Nothing has been told" in text)


def test_a_search_stopped_for_safety_says_so_first() -> None:
    """The verdict of a stopped search is the stop, with its reason."""
    text = markdown(paper(report((*SEARCH[:4], Answered("smell", "yes")))))
    assert "Stop here, for safety" in text and "It burns." in text and "Smoke" in text


def test_clashing_answers_are_named() -> None:
    """A contradiction is in the record, with the answers that make it."""
    events = (*SEARCH, Answered("ohms", "low"), Answered("fuse-look", "whole"), Answered("volts", "full"))
    found = report(events).searches[-1].verdict
    text = markdown(paper(report(events)))
    assert (found.clash is not None) == ("cannot all be true" in text)
