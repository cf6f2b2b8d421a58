"""The plugin contract on one page: hooks, the contract number, finding and loading.

A plugin package names one module under the entry point group ``felt_engine``. Its hooks take no
argument and hand over declarations (:mod:`felt_engine.declare`); they never run a check::

    import felt_engine

    @felt_engine.hook
    def felt_engine_rules():
        return (MY_RULE,)

A module may state ``felt_engine_contract = 1``. One that states another number is refused.

Finding, loading and accepting are three steps; each plugin is loaded, and each hook asked, in its
own guard, so that one that fails is named as not judged while the others work. Code is loaded from
installed packages, and from rule files that a studio file names which was itself named in the call;
never because a file lay beside a recipe.
"""

from __future__ import annotations

import os
import re
import sys
import traceback
from collections.abc import Iterable, Iterator
from typing import Any

import attrs
import pluggy

from felt_engine.checking.report import NotJudged
from felt_engine.checking.rulebook import RuleBook, Shelved, reason_of
from felt_engine.checking.sound import unsound
from felt_engine.declare import Exporter, FibreEntry, Rule, UseEntry
from felt_engine.value import Value

CONTRACT = 1
GROUP = "felt_engine"
OURS = ("felt_rules", "felt_exporters")

hook = pluggy.HookimplMarker(GROUP)
_spec = pluggy.HookspecMarker(GROUP)


class Hooks:
    """The hooks. Each takes no argument and returns a tuple of declarations."""

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


@attrs.frozen(eq=False, repr=False)
class Found(Value):
    """A plugin that is installed, not loaded yet."""

    name: str
    module: str
    package: str
    version: str


def find(paths: Iterable[str] | None = None) -> tuple[Found, ...]:
    """All installed plugins, sorted; a package seen twice counts where Python would find it first.

    Reads ``entry_points.txt`` by hand, since the standard library's machinery costs more than a
    whole check. Anything on the path that is no folder is left to that machinery.
    """
    found: dict[tuple[str, str], Found] = {}
    seen: set[str] = set()
    for path in sys.path if paths is None else paths:
        folder = path or os.curdir
        for package, version, file in _distributions(folder):
            if package in seen:
                continue
            seen.add(package)
            for name, module in _entries(file):
                found.setdefault((package, name), Found(name, module, package, version))
    return tuple(sorted(found.values(), key=lambda f: (f.package, f.name)))


def _distributions(folder: str) -> Iterator[tuple[str, str, str]]:
    try:
        names = sorted(os.listdir(folder))
    except OSError:
        return
    for name in names:
        if name.endswith((".dist-info", ".egg-info")):
            stem = name.rsplit(".", 1)[0].split("-")
            package = tidy(stem[0])
            version = stem[1] if len(stem) > 1 else ""
            yield package, version, os.path.join(folder, name, "entry_points.txt")


def tidy(name: str) -> str:
    """A package's name as packaging tools compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _entries(file: str) -> Iterator[tuple[str, str]]:
    try:
        with open(file, encoding="utf-8") as lines:
            text = lines.read()
    except (OSError, ValueError):
        return
    if GROUP not in text:
        return
    section = ""
    for line in text.splitlines():
        line = line.strip()
        if line.startswith("["):
            section = line.strip("[]").strip()
        elif section == GROUP and "=" in line and not line.startswith(("#", ";")):
            name, _, module = line.partition("=")
            yield name.strip(), module.split("[")[0].strip()


class Plugins:
    """The plugins of one run. Build with :meth:`load`; pass it where another set is wanted."""

    def __init__(self) -> None:
        self.manager = pluggy.PluginManager(GROUP)
        self.manager.add_hookspecs(Hooks)
        self.broke: list[NotJudged] = []
        self.packages: dict[str, tuple[str, str]] = {}

    @classmethod
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

    def add(self, one: Found) -> None:
        """Import one plugin and register its hooks, or note why that failed."""
        label = f"{one.package}:{one.name}"
        try:
            module = _import(one.module)
            self.register(module, label, one.package, one.version)
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            self.note(one.name, one.package, one.version, error)

    def with_files(self, files: Iterable[str]) -> Plugins:
        """These plugins and those in Python files, each file in its own guard; self stays as is.

        Only for files that the caller named.
        """
        plugins = Plugins()
        plugins.broke.extend(self.broke)
        for label, (package, version) in self.packages.items():
            module = self.manager.get_plugin(label)
            if module is not None:
                plugins.register(module, label, package, version)
        for file in files:
            name = os.path.basename(file)
            try:
                plugins.register(_from_file(file), f"file:{file}", name, "")
            except KeyboardInterrupt:
                raise
            except BaseException as error:
                plugins.note(name, name, "", error)
        plugins.pending()
        return plugins

    def there(self) -> set[str]:
        """Names of the plugins that are loaded: of packages, and of plugins in them."""
        found: set[str] = set()
        for label, (package, _) in self.packages.items():
            if self.manager.has_plugin(label):
                found.update((tidy(package), tidy(label.partition(":")[2])))
        return found - {""}

    def register(self, module: object, label: str, package: str, version: str) -> None:
        """Register a module or object with hooks. ValueError if it wants another contract."""
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
                self.note(label, package, version, ValueError(str(error).splitlines()[0]))
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
                    if not isinstance(one, kind):
                        raise TypeError(
                            f"{name} handed over {type(one).__name__}, no {kind.__name__}"
                        )
            except KeyboardInterrupt:
                raise
            except BaseException as error:
                self.note(f"{label} ({name})", package, version, error)
                continue
            for one in handed:
                wrong = unsound(one)
                if wrong:
                    what = str(getattr(one, "id", None) or getattr(one, "name", None) or label)
                    self.note(what, package, version, ValueError(wrong))
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
        return RuleBook(tuple(shelf[key] for key in sorted(shelf)))

    def exporters(self) -> dict[str, Exporter]:
        """All exporters by name."""
        found: dict[str, Exporter] = {}
        for exporter, package, version in self._asked("felt_engine_exporters", Exporter):
            if exporter.name in found:
                error = ValueError(f"the name {exporter.name} is already taken")
                self.note(exporter.name, package, version, error)
            else:
                found[exporter.name] = exporter
        return found

    def fibres(self) -> dict[str, FibreEntry]:
        """Fibres that plugins add or correct, by name."""
        return {f.name: f for f, _, _ in self._asked("felt_engine_fibres", FibreEntry)}

    def uses(self) -> dict[str, UseEntry]:
        """Uses that plugins add or correct, by name."""
        return {u.name: u for u, _, _ in self._asked("felt_engine_uses", UseEntry)}


def _from_file(path: str) -> object:
    import importlib.util

    if not os.path.isfile(path):
        raise FileNotFoundError("there is no file of this name")
    name = "felt_engine_rule_file_" + re.sub(r"\W", "_", os.path.abspath(path))
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise ImportError("it is no Python file")
    module = sys.modules[name] = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except BaseException:
        del sys.modules[name]
        raise
    return module


def _import(name: str) -> object:
    import importlib

    module, _, attribute = name.partition(":")
    found: object = importlib.import_module(module)
    for step in attribute.split(".") if attribute else ():
        found = getattr(found, step)
    return found
