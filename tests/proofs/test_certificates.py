"""From a recipe to certificates and back: what is written, what is said to lack one, what an audit finds."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from construct.cli import cli
from construct.diagnostics import Mistakes
from construct.phrasebook import say
from construct.proofs import prover
from construct.proofs.checker import Rejected, check, digest
from construct.study import study
from tests.proofs.conftest import PLATE, plate
from tests.proofs.evaluation import is_true


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, [str(word) for word in words], standalone_mode=False)


def test_each_verdict_has_its_certificate() -> None:
    """Proved for every choice, refuted at another choice, refuted here, within: each shows just that."""
    claims = ("C A equals C B", "A B is 100 mm", "A B is 90 mm", "D E is 159.9 mm within 0.2 mm", "D E is 159.9 mm within 0.05 mm")
    shown = [proof.certificate.shows.partition(":")[0] if proof.certificate else None for proof in plate(*claims).proofs]
    assert [
        "proved for every choice that the conditions allow",
        "refuted for the numbers written",
        "refuted for the numbers written",
        "within for the numbers written",
        "refuted for the numbers written",
    ] == shown


def test_what_is_proved_at_the_drawn_choice_alone_is_refuted_elsewhere() -> None:
    """A B is twice the free opening: 100 mm at the drawn 50 mm only, and the certificate is about the choice that breaks it."""
    (proof,) = plate("A B is 100 mm").proofs
    assert proof.certificate is not None
    told = json.loads(proof.certificate.text)
    assert "refuted" == told["verdict"]
    assert [list(choice) for choice in proof.verdict.choices] == told["choices"]
    assert "50 mm" not in {value for _, value in told["choices"]}


def test_tolerance_met_exactly_is_within() -> None:
    """A gap of exactly the tolerance is allowed: its difference from it cancels."""
    (proof,) = plate("D E is 159.9 mm within 0.1 mm").proofs
    assert proof.certificate is not None
    assert "within" == json.loads(proof.certificate.text)["verdict"]


@pytest.mark.parametrize("line", ["M : mark halfway from A to B, by ruler", "c : circle by template across A B"])
@pytest.mark.parametrize("at", ["20.2", "1.2"])
def test_what_is_read_of_a_free_length(line: str, at: str) -> None:
    """A ruler or a template laid to two marks that lie anywhere: shown for every choice, as long as it reads the same."""
    head = "recipe Read\npaper\nbench ordinary, ruler graduated 1 mm\n"
    text = f"{head}given A, B anywhere, say at (0, 0), ({at}, 0) mm\ng : line through A and B\n{line}\n"
    claim = "c is c" if line.startswith("c") else "M is on g"
    (proof,) = study(f"{text}claim {claim}\n").proofs
    assert proof.certificate is not None
    told = json.loads(proof.certificate.text)
    assert ("proved", "every") == (proof.verdict.verdict, proof.verdict.scope) == (told["verdict"], told["scope"])
    assert is_true(told)


def test_claims_without_a_certificate_say_so() -> None:
    """An angle that no construction gives is decided, and no certificate is made for it."""
    (proof,) = plate("angle A C B is over 179.999 deg").proofs
    assert proof.certificate is None
    assert say(prover.NO_KIND) == proof.missing


def test_a_rejected_certificate_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """A verdict whose certificate the checker rejects is never shown."""

    def refuse(*_: object) -> None:
        raise Rejected("line 3: the product is not that")

    monkeypatch.setattr(prover, "certify", refuse)
    with pytest.raises(RuntimeError, match="the checker rejects what was proved"):
        plate("C A equals C B")


def test_a_verdict_that_the_trace_does_not_bear_out_is_a_fault() -> None:
    """The traced program is asked again: a wrong verdict does not get as far as the checker."""
    made = plate("A B is 90 mm")
    wrong = tuple(replace(verdict, verdict="proved", reason="", choices=()) for verdict in made.verdicts)
    with pytest.raises(RuntimeError, match="does not say what its verdict says"):
        prover.prove(made.settled, wrong, wrong)


def test_one_step_altered_loses_the_certificate() -> None:
    """The same claim after a step is altered is refuted, and its certificate with it."""
    good = study(PLATE.partition("  r :")[0] + "  claim C is the centre of the plate\n")
    text = PLATE.replace("C : mark where g meets h", "C : mark anywhere, say at (1, 0) mm")
    bad = study(text.partition("  r :")[0] + "  claim C is the centre of the plate\n")
    told = [json.loads(one.proofs[0].certificate.text)["verdict"] for one in (good, bad) if one.proofs[0].certificate]
    assert ["proved", "refuted"] == told


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("proofs") / "certificates"
    done = run("prove", "clock-dial", "--certificates", place)
    assert 0 == done.return_value
    assert "line 103: no certificate for this kind of claim" in done.stderr
    return place


def test_files_are_written_one_for_each_claim(folder: Path) -> None:
    """Twelve of the dial's fifteen claims have a certificate; chips have none."""
    names = sorted(path.name for path in folder.iterdir())
    assert 12 == len(names)
    assert "line-015.json" == names[0]
    assert all(check(path.read_text(encoding="utf-8")) for path in folder.iterdir())


def test_audit_alone_and_against_the_recipe(folder: Path) -> None:
    """Every certificate is accepted alone and against its own recipe."""
    for path in sorted(folder.iterdir()):
        done = run("audit", path, "--recipe", "clock-dial")
        assert 0 == done.return_value, done.output
        assert "accepted, and the recipe says the same" in done.output
    assert 0 == run("audit", folder / "line-016.json").return_value


def test_audit_finds_a_program_that_is_not_the_recipe_s(folder: Path, tmp_path: Path) -> None:
    """A true certificate under another claim's words passes the checker, but not the recipe."""
    told = json.loads((folder / "line-016.json").read_text(encoding="utf-8"))
    told |= {"claim": "C is the centre of the plate", "line": 15}
    told["digest"] = digest(told)
    forged = tmp_path / "forged.json"
    forged.write_text(json.dumps(told), encoding="utf-8")
    assert 0 == run("audit", forged).return_value
    done = run("audit", forged, "--recipe", "clock-dial", "--json")
    assert 1 == done.return_value
    said = json.loads(done.output)
    assert (1, "audit", False) == (said["format"], said["command"], said["accepted"])
    assert 1 == run("audit", folder / "line-016.json", "--recipe", "halve-a-side").return_value


def test_audit_finds_sides_left_out(folder: Path, tmp_path: Path) -> None:
    """Without the signs that picked its crossings a certificate may still be true, but it is not the recipe's."""
    told = json.loads((folder / "line-044.json").read_text(encoding="utf-8"))
    told["sides"] = told["sides"][1:]
    told["digest"] = digest(told)
    forged = tmp_path / "forged.json"
    forged.write_text(json.dumps(told), encoding="utf-8")
    done = run("audit", forged, "--recipe", "clock-dial")
    assert 1 == done.return_value
    assert "other sides" in done.output


def test_audit_of_what_is_no_certificate(tmp_path: Path) -> None:
    """A file that is no certificate at all is a mistake of the command, said so before anything is checked."""
    for text in ("{}", "not JSON", "[]", ""):
        file = tmp_path / "x.json"
        file.write_text(text, encoding="utf-8")
        with pytest.raises(Mistakes) as wrong:
            raise run("audit", file).exception or AssertionError
        assert ["C525"] == [one.code for one in wrong.value.diagnostics]


def test_audit_of_several(folder: Path, tmp_path: Path) -> None:
    """Several certificates are checked in one go: accepted together, and not when one of them was altered."""
    good = [folder / "line-029.json", folder / "line-044.json"]
    assert 0 == run("audit", *good).return_value
    told = json.loads(good[0].read_text(encoding="utf-8"))
    told["verdict"] = "refuted"
    forged = tmp_path / "forged.json"
    forged.write_text(json.dumps(told), encoding="utf-8")
    done = run("audit", good[1], forged)
    assert 1 == done.return_value
    assert 1 == done.output.count("rejected")


def test_a_folder_that_holds_other_things_is_left_alone(folder: Path, tmp_path: Path) -> None:
    """Certificates replace certificates only; anything else stops the command before it writes."""
    assert 0 == run("prove", "clock-dial", "--certificates", folder).return_value
    other = tmp_path / "other"
    other.mkdir()
    (other / "letter.txt").write_text("dear", encoding="utf-8")
    for place in (other, tmp_path / "no" / "folder", other / "letter.txt"):
        with pytest.raises(Mistakes):
            raise run("prove", "clock-dial", "--certificates", place).exception or AssertionError
    with pytest.raises(Mistakes):
        raise run("audit", tmp_path / "none.json").exception or AssertionError
    assert ["letter.txt"] == [path.name for path in other.iterdir()]
