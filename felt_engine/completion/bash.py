"""The file for bash, 4 or newer. It wants no other package for completion."""

from __future__ import annotations

from collections.abc import Iterator
from shlex import quote

from felt_engine.completion.words import Command, Value, every

TEXT = """\
# Completes felt-engine in bash, 4 or newer. Made by: python -m felt_engine.completion --write

# The words that begin with $1.
_felt_engine_words() {
    local typed=$1 word
    shift
    for word in "$@"; do
        [[ $word == "$typed"* ]] && COMPREPLY+=("$word")
    done
}

# Folders, and files that fit one of the patterns, that begin with $1. No name is taken apart.
_felt_engine_paths() {
    local typed=$1 found pattern
    shift
    compopt -o filenames 2>/dev/null
    while IFS= read -r found; do
        COMPREPLY+=("$found")
    done < <(
        compgen -d -- "$typed"
        for pattern in "$@"; do
            compgen -f -X "!$pattern" -- "$typed"
        done
    )
}

_felt_engine() {
    local typed=$2 command= option= place= only= count=1 at word
    COMPREPLY=()
    for ((at = 1; at < COMP_CWORD; at++)); do
        word=${COMP_WORDS[at]}
        if [[ -n $option ]]; then
            [[ $word == = ]] || option=
        elif [[ $word == *[\\<\\>] ]]; then
            option='>'
        elif [[ -z $only && $word == -- ]]; then
            only=yes
        elif [[ -z $only && $word == -?* ]]; then
            case "$command $word" in
@VALUED@) option=$word ;;
            esac
        elif [[ -z $command ]]; then
            command=$word
        else
            ((count += 1))
        fi
    done
    if [[ -n $option ]]; then
        place=$option
    elif [[ -z $only && $typed == -* ]]; then
        place=options
    else
        place=$count
    fi
    case "$command $place" in
    *' >') _felt_engine_paths "$typed" '*' ;;
@PLACES@
    esac
}

complete -F _felt_engine felt-engine
"""


def text() -> str:
    """The whole file."""
    valued = [f"{one.name} {name}" for one in every() for name in one.valued()]
    cases = " |\\\n".join(f"            {quote(one)}" for one in valued)
    places = "\n".join(line for one in every() for line in _places(one))
    return TEXT.replace("@VALUED@", cases).replace("@PLACES@", places)


def _places(command: Command) -> Iterator[str]:
    options = Value("options", tuple(command.long_names()))
    yield _case(f"'{command.name} options'", options)
    for one in command.options:
        if one.value is not None and one.value.wants_something:
            yield _case(" | ".join(f"'{command.name} {name}'" for name in one.names), one.value)
    for number, place in enumerate(command.places, 1):
        last = command.again and number == len(command.places)
        yield _case(f"'{command.name} '[1-9]*" if last else f"'{command.name} {number}'", place)
    if command.name and not command.again:
        yield _case(f"'{command.name} '[1-9]*", options)


def _case(pattern: str, value: Value) -> str:
    calls = []
    if value.words:
        calls.append(f'_felt_engine_words "$typed" {" ".join(map(quote, value.words))}')
    if value.endings or value.folders:
        patterns = "".join(f" '*{_loose(one)}'" for one in value.endings)
        calls.append(f'_felt_engine_paths "$typed"{patterns}')
    return "\n        ".join([f"    {pattern})", *calls, ";;"])


def _loose(ending: str) -> str:
    """A pattern for the ending in small letters or capitals."""
    return "".join(f"[{c}{c.upper()}]" if c.isalpha() else c for c in ending)
