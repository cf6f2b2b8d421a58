"""The file for zsh: a function that its own completion finds by the file's name."""

from __future__ import annotations

from collections.abc import Iterator

from felt_engine.completion.words import ANY, Command, Option, Value, commands, whole

TEXT = """\
#compdef felt-engine
# Completes felt-engine in zsh. Made by: python -m felt_engine.completion --write

# Files that fit the pattern $1, folders, and the words after it.
_felt-engine-files-or() {
    local pattern=$1 found=1
    shift
    compadd -- "$@" && found=0
    _files -g "$pattern" && found=0
    return found
}

_felt-engine() {
    local curcontext=$curcontext state line found=1
    local -A opt_args
    local -a commands=(
@COMMANDS@
    )
    _arguments -C -S \\
@WHOLE@
        '*:: :->command' && found=0
    [[ $state == command ]] || return found
    if (( CURRENT == 1 )); then
        _describe -t commands command commands && found=0
        return found
    fi
    curcontext=${curcontext%:*:*}:felt-engine-$words[1]:
    case $words[1] in
@CASES@
    esac
    return found
}

if [[ $funcstack[1] == _felt-engine ]]; then
    _felt-engine "$@"
else
    compdef _felt-engine felt-engine
fi
"""


def text() -> str:
    """The whole file."""
    named = "\n".join(f"        {_quoted(f'{one.name}:{one.about}')}" for one in commands())
    own = "\n".join(f"        {_option(one)} \\" for one in whole().options)
    cases = "\n".join(map(_case, commands()))
    return TEXT.replace("@COMMANDS@", named).replace("@WHOLE@", own).replace("@CASES@", cases)


def _case(command: Command) -> str:
    specs = " \\\n".join(f"            {one}" for one in _specs(command))
    return f"    {command.name})\n        _arguments -S \\\n{specs} && found=0\n        ;;"


def _specs(command: Command) -> Iterator[str]:
    yield from map(_option, command.options)
    for number, place in enumerate(command.places, 1):
        last = command.again and number == len(command.places)
        yield _quoted(f"{'*' if last else number}:{place.name}:{_action(place)}")


def _option(option: Option) -> str:
    """One option as ``_arguments`` wants it told: what it shuts out, its names, its value."""
    about = "".join("\\" + c if c in "[]\\" else c for c in option.about)
    value = option.value
    end = f"[{about}]" + (f":{value.name}:{_action(value)}" if value is not None else "")
    names = [
        name + ("=" if value is not None and name[:2] == "--" else "") for name in option.names
    ]
    shut = "(- *)" if option.ends else "*" if option.again else ""
    if len(names) == 1:
        return _quoted(shut + names[0] + end)
    shut = shut or f"({' '.join(option.names)})"
    return _quoted(shut) + "{" + ",".join(names) + "}" + _quoted(end)


def _action(value: Value) -> str:
    ends = value.endings[0] if len(value.endings) == 1 else f"({'|'.join(value.endings)})"
    pattern = f"(#i)*{ends}"  # one alone in brackets would be taken for a glob qualifier
    if value.endings and value.words:
        return f' _felt-engine-files-or "{pattern}" {" ".join(value.words)}'
    if value.words:
        return f"({' '.join(value.words)})"
    if value.endings:
        return "_files" if value.endings == ANY else f'_files -g "{pattern}"'
    return "_files -/" if value.folders else " "


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "'\\''") + "'"
