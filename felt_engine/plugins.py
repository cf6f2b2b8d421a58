"""The plugin contract on one page: hooks, the contract number, finding and loading.

A plugin package names one module under the entry point group ``felt_engine``. Its hooks take no
argument and hand over declarations (:mod:`felt_engine.declare`); they never run a check::

    import felt_engine

    @felt_engine.hook
    def felt_engine_rules():
        return (MY_RULE,)

A module may state ``felt_engine_contract = 1``. One that states another number is refused: it is
named as not judged, and the exit status is 3.

Promised by that number: the hooks below, the names in ``felt_engine.__all__`` and
``felt_engine.testing.__all__``, their arguments, and the fields of the values. Within a number those
are only added to, at their end and with a default. Not promised: the wording of messages, the order
in which rules run, and all that is imported from a room below the package.

Finding, loading and accepting are three steps; each plugin is loaded, and each hook asked, in its
own guard, so that one that fails is named as not judged while the others work. Code is loaded from
installed packages, and from rule files that the caller named: in the call, on the command line, or
in a studio file that was itself named; never because a file lay beside a recipe.

A plugin is code that runs with the rights of whoever runs it. What is kept from doing harm by
mistake: errors of any kind, ``sys.exit``, endless recursion, nonsense, printing. What can't be
stopped inside one process: a rule that never returns, ``os._exit``, a crash of the interpreter, a
thread that never ends, and code that sets out to change the engine.
"""

from __future__ import annotations

import os
import re
import sys
import traceback
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

import attrs
import pluggy

import felt_engine
from felt_engine import installed
from felt_engine.checking.export_guard import guarded
from felt_engine.checking.former import former_ids
from felt_engine.checking.report import NotJudged
from felt_engine.checking.rulebook import NotLoaded, RuleBook, Shelved, reason_of
from felt_engine.checking.sound import unsound
from felt_engine.data.former_rules import FORMER
from felt_engine.declare import Caution, Exporter, FibreEntry, Rule, UseEntry
from felt_engine.installed import GROUP, tidy
from felt_engine.interrupts import let_through
from felt_engine.value import Value, fenced

CONTRACT = 1
OURS = ("felt_rules", "felt_exporters")

_Function = TypeVar("_Function", bound=Callable[..., Any])
_mark = pluggy.HookimplMarker(GROUP)
_spec = pluggy.HookspecMarker(GROUP)


def hook(function: _Function) -> _Function:
    """Marks a function of a plugin, named as in :class:`Hooks`, as one of its hooks. A decorator.

    TypeError for what is no function.
    """
    if callable(function):
        try:
            return _mark(function)
        except (AttributeError, TypeError):  # one of Python's own takes no mark
            pass
    kind = type(function).__name__
    raise TypeError(f"expected a function, as @felt_engine.hook above one, and not {kind}")


class Hooks:
    """The hooks. Each takes no argument and returns a tuple of declarations, often the same ones."""

    @_spec
    def felt_engine_rules(self) -> Iterable[Rule]:
        """Rules, each with an id of its own."""
        return ()

    @_spec
    def felt_engine_exporters(self) -> Iterable[Exporter]:
        """Exporters, each with a name of its own."""
        return ()

    @_spec
    def felt_engine_fibres(self) -> Iterable[FibreEntry]:
        """Fibres that are added to the table, or replace the one of the same name."""
        return ()

    @_spec
    def felt_engine_uses(self) -> Iterable[UseEntry]:
        """Uses that are added to the table, or replace the one of the same name."""
        return ()

    @_spec
    def felt_engine_cautions(self) -> Iterable[Caution]:
        """Lines of caution that are added to the table, or replace the one for the same hazard."""
        return ()


HOOKS = tuple(name for name in vars(Hooks) if name.startswith("felt_engine_"))


@attrs.frozen(eq=False, repr=False)
class Found(Value):
    """A plugin that is installed, not loaded yet."""

    name: str
    module: str
    package: str
    version: str


def find(paths: Iterable[str] | None = None) -> tuple[Found, ...]:
    """All installed plugins, sorted; a package seen twice counts where Python would find it first."""
    every = installed.plugins(paths)
    return tuple(Found(name, module, package, version) for package, version, name, module in every)


class Plugins:
    """The plugins of one run. Build with :meth:`load`; pass it where another set is wanted."""

    def __init__(self) -> None:
        self.manager = pluggy.PluginManager(GROUP)
        self.manager.add_hookspecs(Hooks)
        self.broke: list[NotJudged] = []
        self.packages: dict[str, tuple[str, str]] = {}

    @classmethod
    @fenced
    def load(cls, found: Iterable[Found] | None = None) -> Plugins:
        """Load these plugins (all installed ones if not given), each in its own guard."""
        plugins = cls()
        seen: set[tuple[str, str]] = set()
        for one in find() if found is None else found:
            if (one.package, one.module) not in seen:
                plugins.add(one)
            seen.add((one.package, one.module))
        plugins.pending()
        return plugins

    @classmethod
    def built_in(cls) -> Plugins:
        """Only the plugins that come with the engine: what is left when nothing is installed."""
        return cls.load(Found(name, name, "felt-engine", felt_engine.__version__) for name in OURS)

    @fenced
    def add(self, one: Found) -> None:
        """Import one plugin and register its hooks, or note why that failed."""
        label = f"{one.package}:{one.name}"
        try:
            module = _import(one.module)
            self.register(module, label, one.package, one.version)
        except BaseException as error:
            let_through(error)
            self.note(one.name, one.package, one.version, error)

    def with_files(self, files: Iterable[str]) -> Plugins:
        """These plugins and those in Python files, each file in its own guard; self stays as is.

        Only for files that the caller named. A folder stands for the files in it, or, if it is a
        package, for that package.
        """
        plugins = Plugins()
        plugins.broke.extend(self.broke)
        for label, (package, version) in self.packages.items():
            module = self.manager.get_plugin(label)
            if module is not None:
                plugins.register(module, label, package, version)
        for file in files:
            plugins.add_file(file)
        plugins.pending()
        return plugins

    def add_file(self, path: str) -> None:
        """Load a rule file, or those in a folder, and register the hooks, or note why that failed."""
        name = os.path.basename(os.path.normpath(path)) or path
        try:
            files = tuple(_rule_files(path))
        except OSError as error:
            self.note(name, name, "", error)
            return
        for file in files:
            name, label = os.path.basename(os.path.normpath(file)), f"file:{os.path.realpath(file)}"
            if label in self.packages:
                continue
            try:
                self.register(_from_file(file), label, name, "")
            except BaseException as error:
                let_through(error)
                self.note(name, name, "", error)

    def there(self) -> set[str]:
        """Names of the plugins that are loaded: of packages, and of plugins in them."""
        found: set[str] = set()
        for label, (package, _) in self.packages.items():
            if self.manager.has_plugin(label):
                found.update((tidy(package), tidy(label.partition(":")[2])))
        return found - {""}

    def register(self, module: object, label: str, package: str, version: str) -> None:
        """Register a module or object with hooks.

        ValueError if it wants another contract, has no hook, or a hook that lacks its mark.
        """
        if module is None or not (isinstance(label, str) and label):
            raise TypeError("expected a module or an object with hooks, and its label")
        wanted = getattr(module, "felt_engine_contract", CONTRACT)
        if wanted != CONTRACT:
            raise ValueError(f"it wants contract {wanted!r}; this engine has {CONTRACT}")
        known = self.manager.get_name(module)
        if known is not None:
            raise ValueError(f"it names the same module as {known}")
        try:
            self.manager.register(module, label)
        except BaseException:
            self.manager.unregister(name=label)
            raise
        marked = {caller.name for caller in self.manager.get_hookcallers(module) or ()}
        lacking = [name for name in HOOKS if name not in marked and hasattr(module, name)]
        if lacking or not marked:
            self.manager.unregister(name=label)
            if lacking:
                mend = "put @felt_engine.hook above the function"
                raise ValueError(f"{lacking[0]} lacks its mark: {mend}")
            raise ValueError(
                "it has no hook: put @felt_engine.hook above a function felt_engine_rules that "
                "returns a tuple of rules; of a package, name the whole folder"
            )
        self.packages[label] = (package, version)

    def note(self, what: str, package: str, version: str, error: BaseException) -> None:
        """Remember a plugin, or a part of one, as not judged."""
        trace = "".join(traceback.format_exception(error))
        self.broke.append(NotJudged(what, package, version, reason_of(error), trace))

    def pending(self) -> None:
        """Refuse each plugin with a hook that the contract doesn't have (a misspelt one)."""
        for _ in range(len(self.packages) + 1):
            try:
                self.manager.check_pending()
                return
            except pluggy.PluginValidationError as error:
                label = self.manager.get_name(error.plugin) or ""
                package, version = self.packages.get(label, (label, ""))
                known = [caller.name for caller in self.manager.get_hookcallers(error.plugin) or ()]
                wrong = ", ".join(sorted(name for name in known if name not in HOOKS))
                what = ValueError(f"there is no hook {wrong}: there are {', '.join(HOOKS)}")
                self.note(_shown(label), package, version, what)
                self.manager.unregister(error.plugin)

    def _asked(self, name: str, kind: type) -> Iterator[tuple[Any, str, str]]:
        """Ask each implementation of a hook by itself; yields declarations with their package."""
        caller = getattr(self.manager.hook, name)
        for implementation in sorted(caller.get_hookimpls(), key=lambda i: i.plugin_name):
            label = implementation.plugin_name
            package, version = self.packages.get(label, ("", ""))
            try:
                handed = tuple(implementation.function())
                for one in handed:
                    if type(one) is not kind:
                        raise TypeError(
                            f"{name} handed over {type(one).__name__}, no {kind.__name__}"
                        )
                looked_at = [(one, unsound(one)) for one in handed]
            except BaseException as error:
                let_through(error)
                self.note(f"{_shown(label)} ({name})", package, version, error)
                continue
            for one, wrong in looked_at:
                if wrong:
                    self.note(_called(one) or _shown(label), package, version, ValueError(wrong))
                else:
                    yield one, package, version

    def rule_book(self) -> RuleBook:
        """All rules, by id. A second rule with the same id is refused, with both owners named."""
        shelf: dict[str, Shelved] = {}
        for rule, package, version in self._asked("felt_engine_rules", Rule):
            owner = shelf.get(rule.id)
            if owner is not None:
                error = ValueError(f"the id {rule.id} is already taken by {owner.package}")
                self.note(rule.id, package, version, error)
            else:
                shelf[rule.id] = Shelved(rule, package, version)
        self._refuse_clashes(shelf)
        rules = tuple(shelf[key] for key in sorted(shelf))
        return RuleBook(rules, former=former_ids((one.rule for one in rules), FORMER))

    def _refuse_clashes(self, shelf: dict[str, Shelved]) -> None:
        """Take rules off the shelf that claim as a former name what is another rule's."""
        claimed: dict[str, Shelved] = {}
        for one in [shelf[key] for key in sorted(shelf)]:
            for name in one.rule.formerly:
                owner = shelf.get(name) or claimed.setdefault(name, one)
                if owner is not one:
                    error = ValueError(f"its former name {name} belongs to {owner.package}")
                    self.note(one.rule.id, one.package, one.version, error)
                    shelf.pop(one.rule.id, None)

    def exporters(self) -> dict[str, Exporter]:
        """All exporters by name, each in its guard."""
        found: dict[str, Exporter] = {}
        for exporter, package, version in self._asked("felt_engine_exporters", Exporter):
            if exporter.name in found:
                error = ValueError(f"the name {exporter.name} is already taken")
                self.note(exporter.name, package, version, error)
            else:
                found[exporter.name] = guarded(exporter, package, version)
        return found

    def fibres(self) -> dict[str, FibreEntry]:
        """Fibres that plugins add or correct, by name."""
        return {f.name: f for f, _, _ in self._asked("felt_engine_fibres", FibreEntry)}

    def uses(self) -> dict[str, UseEntry]:
        """Uses that plugins add or correct, by name."""
        return {u.name: u for u, _, _ in self._asked("felt_engine_uses", UseEntry)}

    def cautions(self) -> dict[str, Caution]:
        """Lines of caution that plugins add or correct, by hazard."""
        return {c.about: c for c, _, _ in self._asked("felt_engine_cautions", Caution)}


def _shown(label: str) -> str:
    """What reports call a plugin: a rule file by its name, never by a whole path."""
    return os.path.basename(label) if label.startswith("file:") else label


def _called(one: object) -> str:
    """The name of a declaration that is unsound, as far as it has one."""
    for key in ("id", "name", "about"):
        name = getattr(one, key, None)
        if type(name) is str and name:
            return name
    return ""


def _rule_files(path: str) -> Iterator[str]:
    """The file itself, the package itself, or the rule files in a folder, sorted.

    A package's ``__init__.py`` stands for the package.
    Names that begin with ``_``, ``.`` or ``test_``, and ``conftest.py``, are no rule files.
    """
    if os.path.basename(path) == "__init__.py":
        path = os.path.dirname(path) or os.curdir
    if not os.path.isdir(path) or os.path.isfile(os.path.join(path, "__init__.py")):
        yield path
        return
    names = sorted(n for n in os.listdir(path) if n.endswith(".py") and n != "conftest.py")
    names = [name for name in names if not name.startswith(("_", ".", "test_"))]
    if not names:
        raise NotLoaded("there is no rule file in this folder")
    for name in names:
        yield os.path.join(path, name)


LONGEST = 1_000_000
"""Bytes of the longest rule file."""


def _from_file(path: str) -> object:
    import importlib.util
    from importlib.machinery import SourceFileLoader

    class Loader(SourceFileLoader):
        """Reads the text each time: a rule that is being written changes within a second."""

        def path_stats(self, path: Any) -> Any:
            raise OSError

    folder = path if os.path.isdir(path) else None
    file = os.path.join(path, "__init__.py") if folder else path
    if not os.path.isfile(file):
        found = os.path.lexists(file)
        raise NotLoaded("it is no ordinary file" if found else "there is no file of this name")
    if os.path.getsize(file) > LONGEST:
        raise NotLoaded(f"it has more than {LONGEST // 1000} kB")
    name = "felt_engine_rule_file_" + re.sub(r"\W", "_", os.path.abspath(path))
    spec = importlib.util.spec_from_file_location(
        name, file, loader=Loader(name, file),
        submodule_search_locations=[folder] if folder else None,
    )  # fmt: skip
    if spec is None or spec.loader is None:
        raise ImportError("it is no Python file")
    before = set(sys.modules)
    module = sys.modules[name] = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except BaseException:
        for added in set(sys.modules) - before:
            if added == name or added.startswith(name + "."):
                del sys.modules[added]
        raise
    return module


def _import(name: str) -> object:
    import importlib

    module, _, attribute = name.partition(":")
    found: object = importlib.import_module(module)
    for step in attribute.split(".") if attribute else ():
        found = getattr(found, step)
    return found
