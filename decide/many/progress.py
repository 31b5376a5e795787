"""How far a batch is, in one plain line: what is done, what is bad, and the time that is left."""

from __future__ import annotations

from decide.many.batch import Far

_MINUTE, _HOUR, _DAY = 60, 3600, 86_400


def progress(far: Far, seconds: float) -> str:
    """The line after so many seconds of work, as "1,204 of 10,000 lines, 3 bad, 2 h 5 min left"."""
    parts = [f"{far.done:,}" + (f" of {far.total:,}" if far.total is not None else "") + " lines"]
    if far.bad:
        parts.append(f"{far.bad:,} bad")
    new = far.done - far.before
    if far.total is not None and new > 0:
        parts.append(f"{span(seconds * (far.total - far.done) / new)} left")
    return ", ".join(parts)


def summary(far: Far, seconds: float) -> str:
    """What came of it, at the end."""
    new = far.done - far.before
    lines = "line" if far.done == 1 else "lines"
    said = f"{far.done:,} {lines}: {far.done - far.bad:,} with advice, {far.bad:,} bad"
    if far.named:
        more = far.bad - len(far.named)
        said += f" (line {', '.join(map(str, far.named))}{f' and {more:,} more' if more > 0 else ''})"
    said += f". {span(seconds)}"
    if far.before:
        said += f"; {far.before:,} were done before"
    return f"{said}." if not new or seconds <= 0 else f"{said}, {new / seconds:.1f} lines a second."


def span(seconds: float) -> str:
    """A span of time in its two largest units."""
    whole = max(0, round(seconds))
    days, hours, minutes = whole // _DAY, whole % _DAY // _HOUR, whole % _HOUR // _MINUTE
    if days:
        return f"{days} d {hours} h"
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {whole % _MINUTE} s" if minutes else f"{whole} s"
