"""The report's folder: whole or not at all, and nobody's files are touched."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from construct.diagnostics import Mistakes
from construct.reports import _folder as folder

OURS = {"report.json": json.dumps({"format": 1, "command": "report"}).encode(), "report.txt": b"new\n"}


def tree(root: Path) -> dict[str, bytes | None]:
    """Return everything below a folder: contents by path."""
    return {str(path.relative_to(root)): path.read_bytes() if path.is_file() else None for path in sorted(root.rglob("*"))}


def code(wrong: pytest.ExceptionInfo[Mistakes]) -> str:
    """Return the code of the one diagnostic."""
    (one,) = wrong.value.diagnostics
    assert one.hint
    return one.code


def test_a_new_folder(tmp_path: Path) -> None:
    """All files are there, nothing else, and the folder may be entered like any other."""
    folder.write(tmp_path / "out", OURS)
    assert {"out": None, "out/report.json": OURS["report.json"], "out/report.txt": b"new\n"} == tree(tmp_path)
    plain = tmp_path / "plain"
    plain.mkdir()
    assert plain.stat().st_mode == (tmp_path / "out").stat().st_mode


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    """An empty folder becomes the report's."""
    (tmp_path / "out").mkdir()
    folder.write(tmp_path / "out", OURS)
    assert b"new\n" == (tmp_path / "out" / "report.txt").read_bytes()


def test_an_earlier_report_is_replaced_whole(tmp_path: Path) -> None:
    """Files of an earlier report of ours are gone after it, and nothing stays beside it."""
    folder.write(tmp_path / "out", {**OURS, "report.txt": b"old\n"})
    folder.write(tmp_path / "out", OURS)
    assert {"out": None, "out/report.json": OURS["report.json"], "out/report.txt": b"new\n"} == tree(tmp_path)


@pytest.mark.parametrize(
    ("there", "expected"),
    [({"notes.txt": b"mine"}, "C514"), ({"report.json": b"{}"}, "C514"), ({"report.json": b"\xff"}, "C514"),
     ({"report.json": b"[" * 100_000}, "C514"), ({"report.json": OURS["report.json"], "notes.txt": b"mine"}, "C515")],
)  # fmt: skip
def test_other_peoples_folders_are_left_alone(tmp_path: Path, there: dict[str, bytes], expected: str) -> None:
    """A folder with anything in it that is not a report of ours is refused and keeps every byte."""
    (tmp_path / "out").mkdir()
    for name, content in there.items():
        (tmp_path / "out" / name).write_bytes(content)
    before = tree(tmp_path)
    with pytest.raises(Mistakes) as wrong:
        folder.write(tmp_path / "out", OURS)
    assert expected == code(wrong)
    assert before == tree(tmp_path)


def test_a_folder_in_a_files_place_is_a_stranger(tmp_path: Path) -> None:
    """A folder called like one of our files may hold anything: it is not removed."""
    folder.write(tmp_path / "out", {"report.json": OURS["report.json"]})
    (tmp_path / "out" / "report.txt").mkdir()
    with pytest.raises(Mistakes) as wrong:
        folder.write(tmp_path / "out", OURS)
    assert "C515" == code(wrong)


@pytest.mark.parametrize(
    ("name", "expected"), [("missing/out", "C511"), ("file", "C512"), ("file/out", "C511"), (".", "C513"), ("..", "C513")]
)
def test_places_where_no_folder_can_be(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, expected: str) -> None:
    """No parent, a file in the way, or the folder where the user stands: each has its own diagnostic."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    (tmp_path / "here" / "file").write_bytes(b"mine")
    before = tree(tmp_path)
    with pytest.raises(Mistakes) as wrong:
        folder.write(Path(name), OURS)
    assert expected == code(wrong)
    assert before == tree(tmp_path)


@pytest.mark.parametrize("fails", ["write_bytes", "rename", "mkdir"])
@pytest.mark.parametrize("after", [0, 1])
def test_a_failure_on_the_way_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str, after: int) -> None:
    """Whatever step of the writing fails, the earlier report is there to the byte and nothing lies beside it."""
    folder.write(tmp_path / "out", {**OURS, "report.txt": b"old\n"})
    before = tree(tmp_path)
    works, calls = getattr(Path, fails), [0]

    def broken(self: Path, *arguments: object) -> object:
        calls[0] += 1
        if calls[0] == after + 1:
            raise OSError(28, os.strerror(28))
        return works(self, *arguments)

    monkeypatch.setattr(Path, fails, broken)
    if fails == "mkdir" and after:
        folder.write(tmp_path / "out", OURS)
        return
    with pytest.raises(Mistakes) as wrong:
        folder.write(tmp_path / "out", OURS)
    monkeypatch.undo()
    assert "C516" == code(wrong)
    assert before == tree(tmp_path)


def test_a_loop_of_links_and_a_name_too_long(tmp_path: Path) -> None:
    """What the system can not even look at is a diagnostic."""
    (tmp_path / "out").symlink_to(tmp_path / "out")
    for name in ("out", "x" * 5000):
        with pytest.raises(Mistakes) as wrong:
            folder.check(tmp_path / name, OURS)
        assert "C516" == code(wrong)


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """A link to a folder is followed; what it points to is replaced, the link is not."""
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "real")
    folder.write(tmp_path / "out", OURS)
    assert (tmp_path / "out").is_symlink()
    assert b"new\n" == (tmp_path / "real" / "report.txt").read_bytes()
