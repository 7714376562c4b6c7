"""A share of something in plain words, such as "about a third"."""

_WORDS = (
    (0.03, "next to nothing"), (0.08, "a twentieth"), (0.15, "a tenth"), (0.22, "a fifth"), (0.29, "a quarter"),
    (0.42, "a third"), (0.58, "a half"), (0.71, "two thirds"), (0.85, "three quarters"), (2.0, "nearly all"),
)  # fmt: skip


def in_parts(share: float) -> str:
    """A share (0 to 1) in plain words, such as "about a third"."""
    word = next(word for top, word in _WORDS if share < top)
    return word if word in ("next to nothing", "nearly all") else f"about {word}"


def percent(share: float) -> str:
    """A share in whole per cent."""
    return f"{share * 100:.0f} %"
