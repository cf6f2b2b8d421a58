"""The command's parser: what it refuses, in plain words, beside what every parser does."""

from __future__ import annotations

import argparse
import os

from felt_engine.cli.terminal import short

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any, NoReturn


class Asked(Exception):
    """A text was asked for, such as the help, and nothing else."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


class Once(argparse.Action):
    """Takes a value, and refuses a second one for the same option."""

    def __call__(
        self, parser: argparse.ArgumentParser, namespace: argparse.Namespace, values: Any,
        option_string: str | None = None,
    ) -> None:  # fmt: skip
        """Keep the value."""
        if option_string is not None:
            met = vars(namespace).setdefault("met", [])
            if self.dest in met:
                raise argparse.ArgumentError(self, "it can be given only once")
            met.append(self.dest)
        setattr(namespace, self.dest, values)


class Version(argparse.Action):
    """Asks for the release."""

    def __call__(
        self, parser: argparse.ArgumentParser, namespace: argparse.Namespace, values: Any,
        option_string: str | None = None,
    ) -> NoReturn:  # fmt: skip
        """Answer, and do nothing else."""
        raise Asked(f"{self.const}\n")


class Parser(argparse.ArgumentParser):
    """Takes each option once, unless it says otherwise, and answers in one line that shows all."""

    def __init__(self, *arguments: Any, **more: Any) -> None:
        super().__init__(*arguments, **{"allow_abbrev": False, **more})
        self.register("action", None, Once)
        self.register("action", "store", Once)
        self.words: list[str] = []

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        """Remember the words, for what is said of them; take names on both sides of an option."""
        self.words = list(args or ())
        found, over = super().parse_known_args(args, namespace)
        many = next((one for one in self._actions if one.nargs == argparse.ONE_OR_MORE), None)
        names = [word for word in over if word != "--"]
        if many is not None and not any(self._like_an_option(word, over) for word in names):
            getattr(found, many.dest).extend(names)
            over = []
        return found, over

    @staticmethod
    def _like_an_option(word: str, over: list[str]) -> bool:
        return word.startswith("-") and word != "-" and "--" not in over[: over.index(word)]

    def print_help(self, file: Any = None) -> NoReturn:
        """Ask for the help to be shown."""
        raise Asked(self.format_help())

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the call, and end with status 2."""
        from felt_engine.plain_text import one_line

        told = short(one_line(message + self._hint(message)))
        self.exit(2, f"felt-engine: {told}\nSee {self._command()} --help.\n")

    def _command(self) -> str:
        """The command whose help tells more: the one that was called, where it is known."""
        below = [one for one in self._actions if isinstance(one, argparse._SubParsersAction)]
        known = next((word for word in self.words if any(word in one.choices for one in below)), "")
        return f"{self.prog} {known}".rstrip()

    def _hint(self, message: str) -> str:
        """On names that begin with ``-``, where one was given that is no option."""
        unknown = "unrecognized arguments: "
        named = message.startswith(unknown)
        if named:
            odd = message.removeprefix(unknown).split()
        elif "required" in message or "expected" in message:
            odd = [word for word in self.words if not self._knows(word)]
        else:
            return ""
        word = next((one for one in odd if one.startswith("-") and one.strip("-")), None)
        if word is None:
            return ""
        if os.path.lexists(word) or not word.startswith("--"):
            return f"; {word} is no option here, and a name that begins with - is given as ./{word}"
        return "" if named else f"; {word} is no option here"

    def _knows(self, word: str) -> bool:
        option = word.split("=")[0]
        return any(name.startswith(option) for name in self._option_string_actions)
