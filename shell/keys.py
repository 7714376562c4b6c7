"""Keys of the prompt beyond those of any line editor."""

from __future__ import annotations

from prompt_toolkit.application.current import get_app
from prompt_toolkit.filters import Condition, completion_is_selected, shift_selection_mode
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent


@Condition
def _empty() -> bool:
    return not get_app().current_buffer.text


def bindings() -> KeyBindings:
    """The keys: each does what a typed command does as well."""
    keys = KeyBindings()

    @keys.add("f1")
    def _(event: KeyPressEvent) -> None:
        """Help: on the word before the cursor if there is one, else on what can be typed."""
        word = event.current_buffer.document.get_word_before_cursor(WORD=True)
        _say(event, f"help {word}".strip())

    @keys.add("f2")
    def _(event: KeyPressEvent) -> None:
        """Why this is asked."""
        _say(event, "why")

    @keys.add("enter", filter=completion_is_selected)
    def _(event: KeyPressEvent) -> None:
        """Take the marked word of the menu, not yet the line."""
        event.current_buffer.complete_state = None

    @keys.add("backspace", filter=shift_selection_mode)
    def _(event: KeyPressEvent) -> None:
        """Keep selected text and take one letter off its end, so that a slip is mended by a key."""
        event.current_buffer.exit_selection()
        event.current_buffer.delete_before_cursor()

    @keys.add("c-c")
    def _(event: KeyPressEvent) -> None:
        """Clear the line, which arrow up brings back; ask again."""
        event.current_buffer.append_to_history()
        event.app.exit(exception=KeyboardInterrupt(), style="class:aborting")

    return keys


def _say(event: KeyPressEvent, line: str) -> None:
    """Give a command for the person; what was typed comes back on the next line."""
    event.app.exit(result=Pressed(line, event.current_buffer.text))


class Pressed(str):
    """A line that a key stands for, and the text that was on the line when it was pressed."""

    typed: str

    def __new__(cls, line: str, typed: str) -> Pressed:
        found = super().__new__(cls, line)
        found.typed = typed
        return found
