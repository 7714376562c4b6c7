"""The dialogue on a terminal: a line editor with completion, keys, a toolbar and a memory for what was typed."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from prompt_toolkit import PromptSession
from prompt_toolkit.history import History
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.styles import Style

from engine.session import Session
from shell import output
from shell.complete import Words
from shell.dialogue import Desk, Keep, converse, forget
from shell.keys import Pressed, bindings
from shell.layout import fit, para
from shell.names import Refusal
from shell.past import history
from shell.toolbar import state_of, toolbar

STYLE = Style.from_dict({"bottom-toolbar": "noreverse", "prompt": "bold"})
PLAIN = Style.from_dict({"bottom-toolbar": "noreverse"})
GOODBYE = "Left. Nothing more is asked."
UNKEPT = "Your answers are not kept anywhere yet. Ctrl-D once more leaves all the same."


class Prompt:
    """Reads lines from a person."""

    def __init__(self, past: History | None = None, kept: bool = False) -> None:
        looks = output.colourful(sys.stdout, os.environ)
        self.editor: PromptSession[str] = PromptSession(
            history=past or history(),
            key_bindings=bindings(),
            style=STYLE if looks else PLAIN,
            color_depth=None if looks else ColorDepth.DEPTH_1_BIT,
            complete_while_typing=True,
            enable_history_search=False,
            reserve_space_for_menu=6,
        )
        self.kept = kept
        self.last = self.typed = ""  # the last line, and what stands on the next before anything is typed
        self.refused = False
        self.interrupts = 0

    def read(self, session: Session) -> str:
        """A line, asked for until there is one. Raises EOFError when the person leaves."""
        state = state_of(session)
        warned = False
        while True:
            try:
                line = self.editor.prompt(
                    [("class:prompt", "> ")],
                    completer=Words(session),
                    bottom_toolbar=lambda: toolbar(state, self.editor.output.get_size().columns),
                    default=self.typed,
                    pre_run=self._select,
                )
            except KeyboardInterrupt:
                self._interrupted()
                continue
            except EOFError:
                if self.kept or warned or not session.answers:
                    raise
                warned = True
                output.show(para(UNKEPT, _width(), "strong"))
                continue
            self.interrupts, self.refused = 0, False
            self.last, self.typed = line, line.typed if isinstance(line, Pressed) else ""
            return line

    def _select(self) -> None:
        """What was refused stands there selected: a cursor key keeps it to be mended, a new letter takes its place."""
        if self.refused and self.typed:
            buffer = self.editor.default_buffer
            buffer.cursor_position = 0
            buffer.start_selection()
            if buffer.selection_state is not None:
                buffer.selection_state.enter_shift_mode()
            buffer.cursor_position = len(buffer.text)

    def _interrupted(self) -> None:
        self.typed = ""
        self.interrupts += 1
        if self.interrupts >= 2:
            self.interrupts = 0
            output.show(para("Ctrl-D leaves, and so does `park`.", _width(), "faint"))

    def refuse(self, refusal: Refusal) -> None:
        """Say why a line cannot be used; what was typed stands selected on the next one."""
        self.typed, self.refused = self.last, True
        output.show(para(refusal.message, _width(), "strong"))


def run(
    session: Session, keep: Keep = forget, farewell: Callable[[], str] = lambda: GOODBYE, kept: bool = False
) -> int:
    """Hold the dialogue on the terminal; the exit code. `kept` says that `keep` has every answer safe."""
    prompt = Prompt(kept=kept)
    output.show(para("Answer with a number or a word. F1 helps, F2 says why something is asked.", _width(), "faint"))
    with _patient():
        converse(session, Desk(prompt.read, output.show, prompt.refuse, _width), keep)
    output.show(para(farewell(), _width(), "faint"))
    return 0


def _width() -> int:
    return fit(shutil.get_terminal_size().columns)


@contextmanager
def _patient() -> Iterator[None]:
    """Let a Ctrl-C that comes while the program works, not while it asks, do no harm."""

    def ignore(number: int, frame: Any) -> None:
        """Nothing is lost by going on; the next prompt takes Ctrl-C as a key."""

    before = signal.signal(signal.SIGINT, ignore)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
