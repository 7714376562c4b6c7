"""Ways to spoil what is typed or written: mutated files, bombs, lines that are no answers, a stranger's rule base."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

import yaml

from engine.yamltree import plain, read_text

ODD = (
    "", " ", "\t", "\n", "\r\n", "\x00", "\x1b[2J", "\x1b]0;title\x07", "\u202e", "\ufeff", "\ud7ff", "é", "\U0001f526",
    "&a", "*a", "<<: *a", "!!python/object/apply:os.system [touch pwned]", "!!binary", "!", "%YAML 1.2", "---", "...",
    "? ", ": ", "- ", "[", "]", "{", "}", "{}", "[]", "|", ">", "#", "'", '"', "\\", "`", "@", "null", "~", "yes",
    "off", "0x1F", "012", "12:30", "1e999", ".nan", "-.inf", "-1", "9" * 400, "a" * 5000, "x: " * 60, "[" * 60,
    "{a: " * 60, "{0.__class__}", "{this}", "{{ 7*7 }}", "${HOME}", "%s%n", "../../etc/passwd",
    "<script>alert(1)</script>",
)  # fmt: skip

LINES = (
    "", " ", "1", "2", "0", "99", "-1", "1.5", "1,5", "11.2 V", "11,2v", "200 mV", "1e308 V", "nan", "inf", "-0", "1/0",
    "½", "١٢", "12 V 3 A", "12 parsecs", "why", "trace", "doubt", "doubt x", "suppose", "suppose 1", "amend", "amend 1",
    "unsure", "later", "standing", "spend", "price", "price x 1", "price hour -3", "minutes lamp-out nan", "remark",
    "remark \x1b[31mred", "help", "help help", "mend", "mend 1", "buy", "stamp H7", "took", "took 2 screws, left tray",
    "here", "here behind the wheel", "cause", "cause x found", "close", "done", "works", "unchanged", "changed",
    "understood", "no", "yes", "left", "all", "1 2 3", "1,2,3", "1 3 dead", "back", "quit ", "e1 r1", "1.2 m 10 m",
    *ODD,
)  # fmt: skip


def mutated(rng: random.Random, text: str, others: Sequence[str]) -> str:
    """A text with one to four things done to it."""
    for _ in range(rng.randint(1, 4)):
        at, to = sorted(rng.choices(range(len(text) + 1), k=2))
        to = min(to, at + rng.choice((1, 3, 20, 200, 5000)))
        lines = text.split("\n")
        match rng.randrange(8):
            case 0:
                text = text[:at] + text[to:]
            case 1:
                text = text[:to] + text[at:to] + text[to:]
            case 2 | 3:
                text = text[:at] + rng.choice(ODD) + text[at:]
            case 4:
                text = text[:at] + rng.choice(ODD) + text[to:]
            case 5:
                one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
                lines[one], lines[other] = lines[other], lines[one]
                text = "\n".join(lines)
            case 6:
                one = rng.randrange(len(lines))
                lines[one] = " " * rng.randrange(9) + lines[one].lstrip()
                text = "\n".join(lines)
            case _:
                other_text = rng.choice(others)
                start = rng.randrange(len(other_text))
                text = text[:at] + other_text[start : start + rng.choice((10, 100, 1000))] + text[to:]
    return text


def line(rng: random.Random, words: Sequence[str]) -> str:
    """A line as a person, a cat on the keyboard or an enemy might type it."""
    pool = LINES if rng.random() < 0.5 else words
    parts = [rng.choice(pool) for _ in range(rng.choice((1, 1, 2, 3)))]
    typed = rng.choice((" ", " ", ", ", "=", ": ", "")).join(parts)
    if rng.random() < 0.2:
        typed = "".join(
            chr(rng.choice((rng.randrange(32, 127), rng.randrange(0xD7FF)))) for _ in range(rng.randrange(40))
        )
    return typed * rng.choice((1, 1, 1, 1, 1, 50))


def bombs() -> Mapping[str, str]:
    """Files made to exhaust a reader: deep, wide, long, doubling."""
    laughs = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    laughs += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 30)]
    return {
        "deep lists": "rules: " + "[" * 200_000,
        "deep mappings": "{a: " * 200_000,
        "deep indents": "\n".join(" " * n + "a:" for n in range(1500)),
        "aliases": "\n".join(laughs),
        "one long word": "terms: {a: " + "x" * 1_500_000 + "}",
        "one long number": "settings: {hour-value: {value: " + "9" * 1_500_000 + ", says: Long.}}",
        "wide mapping": "terms: {" + ", ".join(f"t{n}: word" for n in range(60_000)) + "}",
        "same key": "terms: {" + ", ".join("same: word" for _ in range(60_000)) + "}",
        "many entries": "causes:\n" + "\n".join(f"  c{n}: {{name: no}}" for n in range(30_000)),
        "many documents": "---\na: b\n" * 60_000,
        "huge": "# " + "x" * 20_000_000,
        "merge keys": "a: &a {b: c}\nd:\n" + "  <<: *a\n" * 20_000,
        "quoted without end": 'terms: {a: "' + "x\\n" * 300_000,
        "indent of tabs": "\t" * 500_000 + "a: b",
    }


SECRET = "the-words-of-a-file-outside"
SAID = (
    "\x1b[31mred\x1b]0;owned\x07 \x9b5m <script>alert(1)</script> <img src=x onerror=alert(1)> </style></svg> "
    "[x](javascript:alert(1)) {{ 1237*2011 }} {% include 'outside' %} {0.__class__} ${HOME} "
    "\u202eevil\u202c `rm` & \" '"
)


def hostile(text: str) -> str:
    """A rule base in which everything that is said to people carries what could act on a screen or in a page."""
    words = {"name", "title", "ask", "say", "says", "because", "story", "look", "mend", "ask_for", "trap", "invented"}
    lists = {"do", "steps", "proof"}

    def said(value: object, key: str = "") -> object:
        if isinstance(value, dict):
            return {name: said(one, name) for name, one in value.items()}
        if isinstance(value, list):
            return [said(one, key) for one in value]
        return f"{value} {SAID}" if key in words | lists and isinstance(value, str) else value

    return yaml.safe_dump(said(plain(read_text(text, "hostile"))), allow_unicode=True, sort_keys=False)
