"""A pattern fitted to another plate, on a screen: how it was scaled, every length before and after, what that does to the claims."""

from __future__ import annotations

from typing import TYPE_CHECKING

from construct.methods.graduations import written
from construct.phrasebook import say
from construct.reports import View
from construct.reports import _words as words
from construct.study import Fitted

if TYPE_CHECKING:
    from construct.claims import Verdict
    from construct.methods.fitting import FittedLength

LONGEST = 32
"""Letters of a recipe's line that the table has room for."""


def screen(fitted: Fitted, view: View) -> str:
    """Return the fit as text."""
    blocks = [_head(fitted, view), _how(fitted, view), _table(fitted, view), _claims(fitted, view), _mind(fitted, view)]
    return "\n\n".join("\n".join(lines) for lines in blocks if lines) + "\n"


def _head(fitted: Fitted, view: View) -> list[str]:
    fit = fitted.fit
    title = words.plain(fitted.before.plan.title) or say("figure.untitled")
    was, now = (words.length(mm, view.units) for mm in (fit.was_mm, fit.plate_mm))
    lines = [say("fit.head", title=title), *words.wrapped(say("fit.plates.open" if fit.free else "fit.plates.fixed", was=was, now=now))]
    if fitted.before.way:
        lines += words.wrapped(say("tune.way", way=fitted.before.way))
    return lines


def _how(fitted: Fitted, view: View) -> list[str]:
    fit = fitted.fit
    factor = f"{float(fit.factor):.4g}"
    ruler = written(fit.graduation_mm, fit.unit)
    if fit.margin_mm is not None:
        text = say("fit.how.margin", factor=factor, margin=words.length(fit.margin_mm, view.units), ruler=ruler)
    else:
        text = say("fit.how.whole", factor=factor, ruler=ruler)
    return words.wrapped(text)


def _table(fitted: Fitted, view: View) -> list[str]:
    rows = [(say("fit.table.line"), say("fit.table.says"), say("fit.table.was"), say("fit.table.exact", unit=view.units),
             say("fit.table.now"), say("fit.table.off", unit=view.units))]  # fmt: skip
    rows += [_row(one, view.units) for one in fitted.fit.lengths]
    if len(rows) == 1:
        return words.wrapped(say("fit.table.none"))
    wide = [max(len(row[column]) for row in rows) for column in range(6)]
    right = (0, 3, 5)
    return ["  ".join(cell.rjust(wide[column]) if column in right else cell.ljust(wide[column]) for column, cell in enumerate(row)).rstrip()
            for row in rows]  # fmt: skip


def _row(one: FittedLength, units: str) -> tuple[str, str, str, str, str, str]:
    said = words.plain(one.written.said)
    said = said if len(said) <= LONGEST else f"{said[: LONGEST - 1]}…"
    per = float(words.MM_PER_INCH) if units == "in" else 1.0
    if one.kept:
        kept = say("fit.table.kept" if one.on_ruler or one.written.role == "knife" else "fit.table.between")
        return str(one.written.span.line), said, one.written.text, "", kept, ""
    off = float(one.off_mm) / per
    shown = "0" if one.off_mm == 0 else f"{off:+.{4 if units == 'in' else 3}f}".replace("-", "−")
    return (
        str(one.written.span.line),
        said,
        one.written.text,
        f"{float(one.scaled_mm) / per:.{5 if units == 'in' else 4}g}",
        one.text,
        shown,
    )


def _claims(fitted: Fitted, view: View) -> list[str]:
    pairs = list(zip(fitted.before.verdicts, fitted.after.verdicts, strict=True))
    if not pairs:
        return words.wrapped(say("fit.claims.none"))
    changed = [(was, now) for was, now in pairs if (was.verdict, was.finding) != (now.verdict, now.finding)]
    lines: list[str] = []
    lost = [now for was, now in changed if was.holds and not now.holds]
    if not any(was.holds != now.holds for was, now in changed):
        holding = sum(now.holds for _, now in pairs)
        key = "fit.claims.all" if holding == len(pairs) else "fit.claims.same"
        lines += words.wrapped(say(key, count=len(pairs), holding=holding))
    elif lost:
        lines += words.wrapped(say("fit.claims.lost", count=len(lost)))
    else:
        lines += words.wrapped(say("fit.claims.gained"))
    for was, now in changed:
        before, after = _answer(was, view.units), _answer(now, view.units)
        said = say("fit.claims.change", line=now.line, text=words.plain(now.text), was=before, now=after)
        lines += words.wrapped(said, "  ", "    ")
    return lines


def _answer(verdict: Verdict, units: str) -> str:
    said = say(f"fit.verdict.{verdict.verdict}")
    if verdict.finding is None or verdict.verdict == "proved":
        return said
    finding = verdict.finding
    return say("fit.verdict.by", said=said, gap=words.gap(finding.exact, finding.figures, finding.value, finding.unit, units))


def _mind(fitted: Fitted, view: View) -> list[str]:
    fit = fitted.fit
    notes = []
    off = [one for one in fit.lengths if one.off_mm]
    if off:
        worst = max(off, key=lambda one: abs(one.off_mm / one.scaled_mm))
        part = f"{abs(float(worst.off_mm / worst.scaled_mm)):.1%}".replace("%", " %")
        notes.append(say("fit.mind.snapped", line=worst.written.span.line, text=worst.text, part=part))
    if any(one.kept and not one.on_ruler and one.written.role != "knife" for one in fit.lengths):
        notes.append(say("fit.mind.between"))
    before, after = fitted.before.carving, fitted.after.carving
    if before is not None and after is not None:
        if len(before.chips) != len(after.chips):
            notes.append(say("fit.mind.chips", was=len(before.chips), now=len(after.chips)))
        if fit.factor > 1 and fitted.after.plan.blank.thickness is not None:
            notes.append(
                say(
                    "fit.mind.deeper",
                    factor=f"{float(fit.factor):.3g}",
                    thick=words.length(fitted.after.plan.blank.thickness.mm, view.units),
                )
            )
    if fit.outside:
        notes.append(say("fit.mind.outside", names=words.listed(f"`{words.plain(name)}`" for name in fit.outside)))
    notes.append(say("fit.mind.comments"))
    if not view.folder:
        notes.append(say("fit.mind.write"))
    lines = [line for note in notes for line in words.wrapped(note, "- ", "  ")]
    if view.folder:
        lines += ["", *words.wrapped(say("fit.mind.look", folder=view.folder), rest="  ")]
    return lines
