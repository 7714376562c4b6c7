"""The person's side of Lampwright: command line, dialogue, rendering. It prompts and prints, and never decides."""
