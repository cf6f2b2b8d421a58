"""Many recipes, by whatever workers: the same reports in the same order, and no silence."""

from __future__ import annotations

import concurrent.futures as futures
import json
import multiprocessing
import os
import random
import threading
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import BROKEN, GROUND, RECIPES, UNCROSSED

import felt_engine
from felt_engine import CallError, Engine, FeltError, Plugins, Report, WorkerDiffers, WorkerLost
from felt_engine.crew import OwnProcesses
from felt_engine.kept import Kept
from felt_engine.many import Judging, Task
from felt_engine.workers import answered, judge_batch, setup_of

TEXTS = [GROUND, UNCROSSED, BROKEN, "", "{", "\ud800\n", GROUND.replace("0.65 oz", "0.05 oz")]
PATHS = sorted(str(path) for path in RECIPES.glob("*.*"))

DEADLY = """
import os, sys, time
import felt_engine

def judge(bench):
    title = bench.recipe.piece.title
    if title == "leaves":
        os._exit(7)
    if title == "exits":
        sys.exit(0)
    if title == "interrupts":
        raise KeyboardInterrupt
    if title == "prints":
        print("noise"); sys.stderr.write("noise")
    if title == "sleeps":
        time.sleep(60)
    if title == "deep":
        def down(): down()
        down()
    if title == "raises":
        class Odd(Exception):
            def __init__(self, one, two):
                super().__init__(one)
        raise Odd(1, 2)
    return ()

@felt_engine.hook
def felt_engine_rules():
    return (felt_engine.Rule("deadly-rule", "Deadly", "1", "To try out.", judge),)
"""


class Shuffled(futures.Executor):
    """Does what it is given, late and in any order, in the caller's own thread."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.waiting: list[tuple[futures.Future[Any], Callable[..., Any], tuple[Any, ...]]] = []
        self.most = 0

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> futures.Future[Any]:
        found = Asked(self)
        self.waiting.append((found, fn, args))
        self.most = max(self.most, len(self.waiting))
        return found

    def work(self) -> None:
        self.random.shuffle(self.waiting)
        future, fn, args = self.waiting.pop()
        future.set_result(fn(*args))


class Asked(futures.Future[Any]):
    def __init__(self, executor: Shuffled) -> None:
        super().__init__()
        self.executor = executor

    def result(self, timeout: float | None = None) -> Any:
        while not self.done():
            self.executor.work()
        return super().result(0)


def named(title: str) -> str:
    return GROUND.replace("Twelve inch ground", title)


def serial(sources: list[str]) -> list[Report]:
    return [felt_engine.look(one) for one in sources]


@pytest.fixture(scope="module")
def reports() -> list[Report]:
    return [felt_engine.look(Path(path), name=path) for path in PATHS]


def forked() -> futures.Executor:
    return futures.ProcessPoolExecutor(2, multiprocessing.get_context("fork"))


def spawned() -> futures.Executor:
    return futures.ProcessPoolExecutor(2, multiprocessing.get_context("spawn"))


def served() -> futures.Executor:
    return futures.ProcessPoolExecutor(2, multiprocessing.get_context("forkserver"))


@pytest.mark.parametrize(
    "begin", [lambda: futures.ThreadPoolExecutor(3), forked, spawned, served, lambda: Shuffled(4)]
)
def test_every_executor_gives_the_same_reports_in_order(
    begin: Callable[[], futures.Executor], reports: list[Report]
) -> None:
    with begin() as executor:
        found = list(felt_engine.check_many(PATHS, executor))
    assert [one.name for one in found] == PATHS and found == reports


def test_a_distributed_engine_gives_the_same_bytes(reports: list[Report]) -> None:
    """dask's distributed, two workers in processes of their own on this machine."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, processes=True
    ) as cluster, distributed.Client(cluster) as client:  # fmt: skip
        found = list(felt_engine.check_many(PATHS, client.get_executor()))
    assert felt_engine.export(found, "json") == felt_engine.export(reports, "json")


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(TEXTS), max_size=12), st.integers(1, 9), st.integers(0, 99))
def test_order_and_reports_are_those_of_one_after_the_other(
    texts: list[str], at_once: int, seed: int
) -> None:
    sources = [one or "\n" for one in texts]
    executor = Shuffled(seed)
    found = list(felt_engine.check_many(sources, executor, at_once=at_once))
    assert found == serial(sources)
    assert executor.most <= at_once + 1


def test_memory_is_bounded_whatever_the_number_of_recipes() -> None:
    """No more is read than is under way: the recipes are asked for one by one."""
    asked = 0

    def endless() -> Iterator[str]:
        nonlocal asked
        while True:
            asked += 1
            yield GROUND

    with futures.ThreadPoolExecutor(1) as executor:
        found = felt_engine.check_many(endless(), executor, at_once=3)
        for _ in range(60):
            next(found)
        found.close()  # type: ignore[attr-defined]
    assert 60 <= asked <= 60 + 8 * (3 + 1) + 8


def test_it_is_lazy_and_reports_come_as_they_are_there() -> None:
    read = []

    def sources() -> Iterator[str]:
        for number in range(3):
            read.append(number)
            yield GROUND

    found = felt_engine.check_many(sources())
    assert not read
    next(found)
    assert read == [0]


def test_folders_texts_and_missing_files(tmp_path: Path) -> None:
    (tmp_path / "b.yaml").write_text(UNCROSSED, encoding="utf-8")
    (tmp_path / "studio.yaml").write_text("name: House\n", encoding="utf-8")
    (tmp_path / "a.yaml").write_text(GROUND, encoding="utf-8")
    (tmp_path / "empty").mkdir()
    found = list(felt_engine.check_many([tmp_path, GROUND, tmp_path / "none", tmp_path / "empty"]))
    verdicts = [one.verdict for one in found]
    assert verdicts == ["right", "fault", "right", "unreadable", "unreadable"]
    with pytest.raises(CallError, match="brackets"):
        felt_engine.check_many(GROUND)
    assert list(felt_engine.check_many([])) == []


@pytest.mark.parametrize("name", ["piece: {}\nscarf.yaml", "{scarf}.yaml", "a\rb.yaml"])
@pytest.mark.parametrize("below", ["", "{below", "be\nlow"])
def test_a_file_s_name_in_a_folder_is_no_recipe_s_text(
    tmp_path: Path, name: str, below: str
) -> None:
    folder = tmp_path / below if below else tmp_path
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(GROUND)
    (report,) = felt_engine.check_many([tmp_path])
    assert not report.problems and report.title, report.problems
    assert report.name == os.path.join(folder, name)


def test_an_error_s_text_shows_a_file_s_name_in_plain_signs(tmp_path: Path) -> None:
    path = tmp_path / "a\x1b[31m\n::error::b\u202e.yaml"
    path.write_text("piece: [")
    with pytest.raises(felt_engine.RecipeError) as caught:
        felt_engine.load(path)
    said = str(caught.value)
    assert not set(said) & set("\x1b\u202e")
    assert not any(line.startswith("::") for line in said.splitlines())


def deadly(tmp_path: Path) -> Engine:
    (tmp_path / "deadly.py").write_text(DEADLY, encoding="utf-8")
    return Engine(rule_files=tmp_path / "deadly.py")


def by_own(engine: Engine, texts: list[str], patience: float = 60.0) -> list[Report]:
    crew = OwnProcesses(2, patience)
    try:
        return list(Judging(crew).reports(Task(engine, text, None) for text in texts))
    finally:
        crew.close()


@pytest.mark.parametrize("title", ["exits", "raises", "deep", "prints"])
def test_a_rule_that_misbehaves_gives_the_same_report_anywhere(tmp_path: Path, title: str) -> None:
    engine = deadly(tmp_path)
    texts = [GROUND, named(title), UNCROSSED]
    found = by_own(engine, texts)
    assert found == [engine.look(one) for one in texts]
    assert found[1].exit_status() == (0 if title == "prints" else 3)


def test_a_rule_that_ends_its_worker_costs_its_own_recipe_only(tmp_path: Path) -> None:
    engine = deadly(tmp_path)
    texts = [GROUND, *([UNCROSSED] * 9), named("leaves"), *([GROUND] * 9), named("leaves"), GROUND]
    found = by_own(engine, texts)
    lost = [one.exit_status() == 3 for one in found]
    assert lost == ["leaves" in text for text in texts]
    (broke,) = found[10].not_judged
    assert "ended before it answered" in broke.reason and broke.what == "the whole recipe"
    assert [found[i] for i in (0, 1, 11, 21)] == [engine.look(texts[i]) for i in (0, 1, 11, 21)]


def test_a_rule_that_never_answers_is_given_up(tmp_path: Path) -> None:
    engine = deadly(tmp_path)
    found = by_own(engine, [GROUND, named("sleeps"), UNCROSSED], patience=12.0)
    assert [one.exit_status() for one in found] == [0, 3, 1]
    assert "no worker answered within 12 s" in found[1].not_judged[0].reason


def test_an_interrupt_raised_by_a_rule_in_a_worker_is_no_interrupt(tmp_path: Path) -> None:
    (report,) = by_own(deadly(tmp_path), [named("interrupts")])
    assert report.exit_status() == 3


def test_workers_of_others_that_go_away_or_are_silent_are_an_error(tmp_path: Path) -> None:
    engine = deadly(tmp_path)
    with spawned() as executor, pytest.raises(WorkerLost, match="ended before it answered"):
        list(engine.check_many([named("leaves")], executor))
    executor = futures.ThreadPoolExecutor(1)
    executor.submit(time.sleep, 3)
    with pytest.raises(WorkerLost, match=r"no worker answered within 0\.2 s"):
        list(felt_engine.check_many([GROUND], executor, patience=0.2))
    executor.shutdown()
    with pytest.raises(WorkerLost, match="takes no more work"):
        list(felt_engine.check_many([GROUND], executor))
    for none in (7, futures.ThreadPoolExecutor, futures.ProcessPoolExecutor):
        with pytest.raises(CallError, match="no executor"):
            felt_engine.check_many([GROUND], none)  # type: ignore[arg-type]


class Elsewhere(Shuffled):
    """A worker that is sent something else than the caller meant."""

    def __init__(self, change: Callable[[dict[str, Any]], None]) -> None:
        super().__init__(0)
        self.change = change

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> futures.Future[Any]:
        asked = json.loads(args[0])
        setup = json.loads(asked["setup"])
        self.change(setup)
        return super().submit(fn, json.dumps({**asked, "setup": json.dumps(setup)}))


def _newer(setup: dict[str, Any]) -> None:
    setup["engine"][0] = "9.0"


def _other_code(setup: dict[str, Any]) -> None:
    setup["engine"][1] = "0" * 32


def _other_plugin(setup: dict[str, Any]) -> None:
    setup["plugins"]["felt-engine:felt_rules"][1] = "0.0.9"


def _other_rules(setup: dict[str, Any]) -> None:
    setup["plugins"]["felt-engine:felt_rules"][2] = "0" * 32


def _one_more(setup: dict[str, Any]) -> None:
    setup["plugins"]["harbour-rules:harbour"] = ["harbour-rules", "1.0", "0" * 32]


def _no_file(setup: dict[str, Any]) -> None:
    setup["plugins"]["file:/nowhere/rules.py"] = ["rules.py", "", "0" * 32]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_newer, "it has felt-engine 0.1.0, and not 9.0"),
        (_other_code, "its files of felt-engine 0.1.0 are not the same"),
        (_other_plugin, "it has felt-engine 0.1.0, and not 0.0.9"),
        (_other_rules, "its files of felt-engine 0.1.0 are not the same"),
        (_one_more, "harbour-rules 1.0 is not installed there"),
        (_no_file, "rules.py is not installed there, or doesn’t load"),
    ],
)
def test_a_worker_that_differs_is_refused(
    change: Callable[[dict[str, Any]], None], said: str
) -> None:
    with pytest.raises(WorkerDiffers, match="can’t judge as this process does") as caught:
        list(felt_engine.check_many([GROUND], Elsewhere(change)))
    assert said in str(caught.value)


def test_what_was_registered_in_this_process_alone_is_refused_up_front() -> None:
    class Own:
        @felt_engine.hook
        def felt_engine_rules(self) -> tuple[felt_engine.Rule, ...]:
            return ()

    plugins = Plugins.built_in()
    plugins.register(Own(), "mine", "shop", "1")
    engine = Engine(plugins)
    with pytest.raises(CallError, match="“mine”, from shop 1, was registered in this process"):
        list(engine.check_many([GROUND], Shuffled(0)))
    assert [one.verdict for one in engine.check_many([GROUND])] == ["right"]


def test_a_worker_takes_fewer_plugins_if_the_caller_has_fewer() -> None:
    found = [p for p in felt_engine.plugins.find() if p.module == "felt_exporters"]
    engine = Engine(Plugins.load(found))
    assert list(engine.check_many([GROUND], Shuffled(0))) == [engine.look(GROUND)]
    assert engine.look(GROUND).judged == ()


def test_studio_rule_files_notebook_and_breakdowns_go_along(tmp_path: Path) -> None:
    (tmp_path / "house.py").write_text(DEADLY, encoding="utf-8")
    (tmp_path / "bad.py").write_text("1 / 0", encoding="utf-8")
    notes = (RECIPES / "saltgrass" / "swatches.yaml").read_text(encoding="utf-8")
    (tmp_path / "swatches.yaml").write_text(notes, encoding="utf-8")
    studio = (RECIPES / "saltgrass" / "studio.yaml").read_text(encoding="utf-8")
    (tmp_path / "studio.yaml").write_text(studio + "rule files: [house.py]\n", encoding="utf-8")
    engine = Engine(studio=tmp_path / "studio.yaml", rule_files=tmp_path / "bad.py")
    texts = [UNCROSSED, (RECIPES / "saltgrass" / "oar-grip.yaml").read_text(encoding="utf-8")]
    own = [engine.look(text) for text in texts]
    assert own[0].studio is not None and own[0].not_judged and "deadly-rule" in own[0].judged
    assert by_own(engine, texts) == own
    assert list(engine.check_many(texts, Shuffled(3))) == own


def test_nothing_but_bytes_of_json_comes_back() -> None:
    for text in ("", "{", "[]", "{}", '{"setup": "{}"}', json.dumps({"setup": 3, "recipes": []})):
        answer = judge_batch(text)
        assert isinstance(answer, bytes)
        with pytest.raises(FeltError):
            answered(answer, "")
    for answer in (
        b"",
        b"[]",
        b"{}",
        b'{"asked": "", "reports": [{}], "traces": [[]], "slow": []}',
    ):
        with pytest.raises(FeltError):
            answered(answer, "")


class Mixed(futures.Executor):
    """Gives each call the answer of the one before it, and the first its own."""

    before = b""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> futures.Future[Any]:
        own, found = fn(*args), futures.Future[Any]()
        found.set_result(self.before or own)
        self.before = own
        return found


def test_nothing_runs_on_after_our_own_processes_are_ended() -> None:
    before = set(threading.enumerate())
    for _ in range(8):
        crew = OwnProcesses(2)
        crew.pool.submit(time.sleep, 0).result()
        crew.pool.submit(time.sleep, 60)
        crew.close()
        assert set(threading.enumerate()) <= before


def test_the_answer_for_other_recipes_is_refused() -> None:
    for texts in ([GROUND, UNCROSSED], [GROUND, UNCROSSED, *[BROKEN] * 30]):
        found = felt_engine.check_many(texts, Mixed())
        assert next(found) == felt_engine.look(GROUND)
        with pytest.raises(WorkerDiffers, match="answer for other recipes"):
            next(found)


class Lossy(futures.Executor):
    """Loses the first report of each answer."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> futures.Future[Any]:
        answer, found = json.loads(fn(*args)), futures.Future[Any]()
        kept = {key: answer[key][1:] for key in ("reports", "traces")}
        found.set_result(json.dumps({**answer, **kept}).encode())
        return found


def test_an_answer_that_lacks_a_report_is_refused() -> None:
    with pytest.raises(CallError, match="a worker gave 0 reports where 1 were asked for"):
        list(felt_engine.check_many([GROUND], Lossy()))


@pytest.mark.parametrize("most", [0, -1, float("nan")])
def test_batches_under_way_are_one_or_more(most: float) -> None:
    with (
        futures.ThreadPoolExecutor(1) as executor,
        pytest.raises(felt_engine.CallError, match="1 or more"),
    ):
        felt_engine.check_many([GROUND], executor, at_once=most)  # type: ignore[arg-type]


def test_any_number_is_a_patience_and_infinity_is_no_limit() -> None:
    with futures.ThreadPoolExecutor(1) as executor:
        for patience in (float("inf"), 1e300, 10**400, Decimal(60)):
            found = felt_engine.check_many([GROUND], executor, patience=patience)  # type: ignore[arg-type]
            assert list(found) == [felt_engine.look(GROUND)]


def test_a_setup_is_the_same_text_for_the_same_engine() -> None:
    assert setup_of(Engine()) == setup_of(Engine())
    assert str(Path(felt_engine.__file__).parent) not in setup_of(Engine())


def keep(folder: Path, paths: list[Path], **more: Any) -> tuple[list[Report], Kept]:
    kept = Kept(folder)
    engine = more.pop("engine", None) or Engine()
    judging = Judging(None, kept, more.pop("drawing", False))
    return list(judging.reports(Task(engine, path, path.name) for path in paths)), kept


def count(folder: Path) -> int:
    return len(list((folder / "reports").rglob("*.json")))


def test_results_are_kept_by_content_and_never_stale(tmp_path: Path) -> None:
    file, store = tmp_path / "a.yaml", tmp_path / "kept"
    file.write_text(GROUND, encoding="utf-8")
    first, _ = keep(store, [file])
    assert first == [felt_engine.look(file, name="a.yaml")] and count(store) == 1
    for made in store.rglob("*.json"):
        assert json.loads(made.read_text(encoding="utf-8"))["kept"]["title"] == "Twelve inch ground"
    assert (store / "CACHEDIR.TAG").read_text().startswith("Signature: 8a477f597d28d172789f06886")
    again, _ = keep(store, [file])
    assert again == first and count(store) == 1
    stamp = os.stat(file)
    file.write_text(UNCROSSED, encoding="utf-8")
    os.utime(file, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    (changed,), _ = keep(store, [file])
    assert changed.verdict == "fault" and count(store) == 2
    other = tmp_path / "b.yaml"
    other.write_text(GROUND, encoding="utf-8")
    (moved,), _ = keep(store, [other])
    assert count(store) == 2 and moved == attrs.evolve(first[0], name="b.yaml")


def test_another_studio_rule_file_or_drawing_is_another_result(tmp_path: Path) -> None:
    file, store = tmp_path / "a.yaml", tmp_path / "kept"
    file.write_text(UNCROSSED, encoding="utf-8")
    studio, notes = tmp_path / "studio.yaml", tmp_path / "n.yaml"
    keep(store, [file])
    steps = (
        ("name: A", "N"), ("name: A\nscale step: 2 g", "N"), ("name: A\nnotebook: n.yaml", "N"),
        ("name: A\nnotebook: n.yaml", "M"),
    )  # fmt: skip
    for number, (text, title) in enumerate(steps, 2):
        studio.write_text(text, encoding="utf-8")
        notes.write_text(f"title: {title}\nswatches: []\n", encoding="utf-8")
        for _ in range(2):
            keep(store, [file], engine=Engine(studio=studio))
            assert count(store) == number
    keep(store, [file], drawing=True)
    keep(store, [file], engine=deadly(tmp_path))
    assert count(store) == len(steps) + 3
    (tmp_path / "deadly.py").write_text(DEADLY + "\n# another\n", encoding="utf-8")
    keep(store, [file], engine=Engine(rule_files=tmp_path / "deadly.py"))
    assert count(store) == len(steps) + 4


@pytest.mark.parametrize(
    "harm", ["", "{}", "null", '{"mark": "x", "kept": {}}', "\x00", "[" * 9999]
)
def test_a_spoilt_result_is_worked_out_again(tmp_path: Path, harm: str) -> None:
    file, store = tmp_path / "a.yaml", tmp_path / "kept"
    file.write_text(UNCROSSED, encoding="utf-8")
    first, _ = keep(store, [file])
    (made,) = (store / "reports").rglob("*.json")
    whole = made.read_text(encoding="utf-8")
    for text in (harm, whole[:-9], whole.replace('"fault"', '"note"', 1), whole + " "):
        made.write_text(text, encoding="utf-8")
        again, _ = keep(store, [file])
        assert again == first and made.read_text(encoding="utf-8") == whole


def test_a_breakdown_is_never_kept(tmp_path: Path) -> None:
    file, store = tmp_path / "a.yaml", tmp_path / "kept"
    file.write_text(named("raises"), encoding="utf-8")
    keep(store, [file], engine=deadly(tmp_path))
    assert count(store) == 0


def test_a_folder_of_something_else_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    for place in (tmp_path, tmp_path / "notes.txt", Path("")):
        with pytest.raises(CallError, match="no folder of kept results"):
            felt_engine.check_many([GROUND], keep=str(place) if place.name else "")
    assert [one.name for one in tmp_path.iterdir()] == ["notes.txt"]


def test_old_results_make_room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("felt_engine.kept.SPARE_REPORTS", 0)
    store = tmp_path / "kept"
    file = tmp_path / "a.yaml"
    file.write_text(GROUND, encoding="utf-8")
    keep(store, [file])
    shelf = next((store / "reports").iterdir())
    for number in range(40):
        (shelf / f"{number:032x}.json").write_text("{}", encoding="utf-8")
        os.utime(shelf / f"{number:032x}.json", (number, number))
    keep(store, [file])
    assert count(store) == 41, "nothing was written, so nothing is thrown out"
    other = tmp_path / "b.yaml"
    other.write_text(UNCROSSED, encoding="utf-8")
    keep(store, [file, other])
    assert count(store) <= 2


def test_results_that_cannot_be_kept_are_told_and_stop_nothing(tmp_path: Path) -> None:
    file, store = tmp_path / "a.yaml", tmp_path / "kept"
    file.write_text(GROUND, encoding="utf-8")
    keep(store, [file])
    for made in (store / "reports").iterdir():
        for one in made.iterdir():
            one.unlink()
        made.rmdir()
        made.write_text("in the way", encoding="utf-8")
    found, kept = keep(store, [file])
    assert found[0].verdict == "right" and "can’t be kept" in kept.failed
