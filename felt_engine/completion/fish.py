"""The file for fish, 3 or newer."""

from __future__ import annotations

import re
from collections.abc import Iterator

from felt_engine.completion.words import ANY, Command, Option, Value, commands, every

TEXT = """\
# Completes felt-engine in fish, 3 or newer. Made by: python -m felt_engine.completion --write

function __felt_engine_at -d 'Whether this command was given, and from so many to so many words'
    set -l valued @VALUED@
    set -l command ''
    set -l count 0
    set -l only
    set -l skip
    set -l words (commandline -opc)
    set -e words[1]
    for word in $words
        if set -q skip[1]
            set skip
        else if not set -q only[1]; and test "x$word" = x--
            set only yes
        else if not set -q only[1]; and string match -qr -- '^-.' $word
            contains -- "$command $word" $valued; and set skip yes
        else if test -z "$command"
            set command $word
        else
            set count (math $count + 1)
        end
    end
    test "$command" = "$argv[1]"; or return 1
    not set -q argv[2]; or test $count -ge $argv[2] -a $count -le $argv[3]
end

function __felt_engine_paths -d 'Folders, and files that end so'
    set -l typed (commandline -ct | string replace -r -- '^--[a-z-]+=' '')
    complete -C "'' $typed" | string match -er -- "(?i)(?:/$argv[1])(?:\\t|\\$)"
end

complete -c felt-engine -f
@LINES@
"""


def text() -> str:
    """The whole file."""
    valued = " ".join(_quoted(f"{one.name} {name}") for one in every() for name in one.valued())
    lines = "\n".join(f"complete -c felt-engine {line}" for line in _lines())
    return TEXT.replace("@VALUED@", valued).replace("@LINES@", lines)


def _lines() -> Iterator[str]:
    for one in commands():
        yield f"""-n '__felt_engine_at ""' -a {one.name} -d {_quoted(one.about)}"""
    for one in every():
        at = f"""__felt_engine_at {one.name or '""'}"""
        for option in one.options:
            yield f"-n {_quoted(at)} {_option(option)}"
        if one.name:
            yield from _places(one, at)


def _places(command: Command, at: str) -> Iterator[str]:
    for number, place in enumerate(command.places):
        most = 9999 if command.again and number + 1 == len(command.places) else number
        wanted = _wanted(place)
        if wanted:
            yield f"-n {_quoted(f'{at} {number} {most}')} {wanted}"


def _option(option: Option) -> str:
    names = [f"-l {one[2:]}" if one[:2] == "--" else f"-s {one[1:]}" for one in option.names]
    said = [*names, f"-d {_quoted(option.about)}"]
    if option.value is not None:
        any_file = option.value.endings == ANY
        said += ["-r" if any_file else "-x", _wanted(option.value)]
    return " ".join(filter(None, said))


def _wanted(value: Value) -> str:
    if value.endings == ANY:
        return "-F"
    said = list(value.words)
    if value.endings or value.folders:
        endings = "".join("|" + re.escape(one) for one in value.endings)
        said.append(f'(__felt_engine_paths "{endings}")')
    return f"-a {_quoted(' '.join(said))}" if said else ""


def _quoted(text: str) -> str:
    """In single quotes, between which fish takes a backslash for one only before ``'`` and ``\\``."""
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"
