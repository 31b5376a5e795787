"""The knowledge folder, read strictly into typed tables; every mistake is an error with file, line and what
to write instead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from types import EllipsisType
from typing import TYPE_CHECKING, Final, TypeVar

from decide.knowledge.bounds import check_folders
from decide.knowledge.kept import kept_or_read
from decide.knowledge.schema import (
    FIXED_SOURCES,
    AilmentRow,
    Better,
    CauseRow,
    CautionRow,
    DrawnPlace,
    EdgeRow,
    FactRow,
    Grass,
    LocalWord,
    MeanwhileRow,
    MethodRow,
    Mixture,
    Need,
    PartArea,
    PartName,
    Question,
    RegionalWindow,
    Row,
    RuleRow,
    Source,
    SourceCountry,
    Sport,
    Tool,
    UsualRow,
    ValueRow,
    Variant,
    Word,
)
from decide.knowledge.schema_audit import (
    ApartRow,
    ColumnRow,
    MarkedRow,
    ReviewRow,
    RisingRow,
    StandingRow,
)
from decide.knowledge.schema_care import (
    Check,
    Doing,
    EventRow,
    FailureRow,
    FeedLaw,
    GrowthRow,
    HandsRow,
    LocalPrice,
    PlayStep,
    Reckoning,
    RecordedStep,
    Rootzone,
    Sign,
    SoilKind,
    Supply,
    TaskTemplate,
    Topic,
    WaterMeans,
    WaterStage,
    YearTask,
)
from decide.knowledge.schema_choice import (
    FateRow,
    Held,
    Limit,
    OrderRow,
    RemedyRow,
    Shape,
    SureRow,
    Together,
    WishRow,
)
from decide.knowledge.tables import Knowledge, Value
from decide.knowledge.texts import Labels, LanguageRow, TextRow
from decide.model.errors import KnowledgeError, meant
from decide.model.files import data_folder
from decide.model.version import VERSION
from decide.model.words import CHANGED

if TYPE_CHECKING:
    from decide.knowledge.layers import Layers

_TABLES: Final[Mapping[str, type[Row]]] = {
    "grasses": Grass, "mixtures": Mixture, "equipment": Tool, "fields": Sport, "cautions": CautionRow,
    "needs": Need, "causes": CauseRow, "words": Word, "better": Better,
}  # fmt: skip

# How a folder words the report; the report's own words do not stand in the knowledge.
REPORT: Final = "report.toml"


def knowledge_folder() -> Path:
    """The folder that travels with the package, or the checkout's own."""
    return data_folder()


def read_knowledge(*folders: Path | str | EllipsisType, kept: Path | None = None) -> Knowledge:
    """The knowledge of `folders`, each laid over those before it; `...` stands for the package's own, as does
    no folder at all.

    A later folder adds rows and overrides rows of the same code key by key: what it does not write stays as
    it was. A number that it states for a value is the one in use. `off = ["rule-id"]` in one of its files of
    rules switches rules off. It may leave out any file. KnowledgeError says the first thing that is wrong,
    with file and line; so it does of what leads out of a folder, is no plain file or is far too large. In the
    folder `kept` what was read is put down, and taken from there while nothing of it has changed.
    """
    paths = [knowledge_folder() if folder is ... else Path(folder) for folder in folders or (...,)]
    for path in paths:
        if not path.is_dir():
            raise KnowledgeError("there is no such folder", where=str(path))
    check_folders(paths)
    if kept is not None:
        return kept_or_read(paths, kept, lambda: _read(paths))
    return _read(paths)


def _read(paths: Sequence[Path]) -> Knowledge:
    """The knowledge of the folders, from their files."""
    # What reads and checks is not loaded where the knowledge was kept.
    from decide.knowledge.check import check_rows
    from decide.knowledge.layers import Layers
    from decide.knowledge.talk_words import talk_overrides
    from decide.knowledge.values import check_ranges, key_families, value_of

    read = Layers(paths)
    read.check_forms()
    sources: dict[str, Source] = read.table("source", "sources.toml", Source)
    for code in FIXED_SOURCES:
        if code not in sources:
            raise KnowledgeError(
                f"the source {code!r} is missing", where="sources.toml", instead=f"Write [{code}]"
            )
    tables = {name: read.table(name, f"{name}.toml", row) for name, row in _TABLES.items()}
    methods = read.table("method", "methods.toml", MethodRow, without="variants")
    variants = read.table("variant", "methods.toml", Variant, inside="variants")
    families = key_families(tables["grasses"], tables["mixtures"], methods)
    values: dict[str, Value] = {}
    for name, row in read.table("value", "values/*.toml", ValueRow).items():
        where = read.where["value", name]
        subject = Path(where.rpartition(":")[0]).stem
        values[name] = value_of(name, row, where, subject, sources, families, read.stated.get(name))
    check_ranges(values)
    knowledge = Knowledge(
        folder=paths[0],
        over=tuple(paths[1:]),
        sources=sources,
        values=values,
        facts=read.table("fact", "facts.toml", FactRow),
        rules=tuple(read.array("rule", "rules/*.toml", "rule", RuleRow)),
        grasses=tables["grasses"],
        mixtures=tables["mixtures"],
        methods=methods,
        variants=variants,
        equipment=tables["equipment"],
        fields=tables["fields"],
        cautions=tables["cautions"],
        needs=tables["needs"],
        causes=tables["causes"],
        words=tables["words"],
        opening=read.table("opening", "care/opening.toml", Check),
        rescue=read.table("rescue", "care/rescue.toml", Sign),
        better=tables["better"],
        usual=read.table("usual", "usual.toml", UsualRow),
        parts=read.table("part", "parts.toml", PartName),
        areas=read.table("area", "areas.toml", PartArea),
        drawn=read.table("drawn", "field_plan.toml", DrawnPlace),
        meanwhile=read.table("meanwhile", "meanwhile.toml", MeanwhileRow),
        ailments=read.table("ailment", "ailments.toml", AilmentRow),
        windows={row.id: row for row in read.array("window", "windows.toml", "window", RegionalWindow)},
        edges=read.table("edge", "edges.toml", EdgeRow),
        questions=tuple(read.array("question", "questions.toml", "question", Question)),
        together=_by_order(read.table("group", "together.toml", Together, inside="group")),
        limit=read.table("limit", "together.toml", Limit, only="limit").get("limit"),
        order=(order := _order(read.table("order", "weighing.toml", OrderRow, only="order"))).criteria,
        before_wishes=order.before_wishes,
        wishes={
            code: row.criterion
            for code, row in read.table("wish", "weighing.toml", WishRow, inside="wish").items()
        },
        shapes=_by_order(read.table("shape", "programme.toml", Shape, inside="shape")),
        no_remedy=read.table("no-remedy", "remedies.toml", Held, only="none").get("none"),
        remedies=_by_order(read.table("remedy", "remedies.toml", RemedyRow, inside="remedy")),
        fates=_by_order(read.table("fate", "levels.toml", FateRow, inside="fate")),
        sure=_by_order(read.table("sure", "levels.toml", SureRow, inside="sure")),
        bars=read.table("bar", "levels.toml", Held, inside="bar"),
        next_window=read.table("next-window", "programme.toml", Held, only="next-window").get("next-window"),
        tasks=read.table("task", "care/tasks.toml", TaskTemplate),
        watering=read.table("watering", "care/watering.toml", WaterStage),
        year=read.table("year", "care/year.toml", YearTask),
        supplies=read.table("supply", "care/supplies.toml", Supply, without="reckoned"),
        reckoned=read.table("reckoned", "care/supplies.toml", Reckoning, inside="reckoned"),
        events=read.table("event", "care/events.toml", EventRow),
        growth=read.table("growth", "care/growth.toml", GrowthRow),
        play=read.table("play", "care/play.toml", PlayStep),
        water_means=read.table("water-means", "care/water_means.toml", WaterMeans),
        feed_laws=read.table("feed-law", "care/feed_laws.toml", FeedLaw),
        local_prices=read.table("local-price", "local_prices.toml", LocalPrice),
        rootzones=read.table("rootzone", "rootzones.toml", Rootzone),
        soils=read.table("soil", "soils.toml", SoilKind),
        hands=read.table("hands", "care/hands.toml", HandsRow),
        recorded=read.table("recorded", "care/record.toml", RecordedStep),
        failure=read.table("failure", "care/failure.toml", FailureRow),
        topics=read.table("topic", "care/topics.toml", Topic),
        doing=read.table("doing", "care/doing.toml", Doing),
        local_words=read.table("local-word", "local_words.toml", LocalWord),
        source_countries=read.table("source-country", "source_countries.toml", SourceCountry),
        columns=read.table("column", "audit.toml", ColumnRow, inside="column"),
        rising=read.table("rising", "audit.toml", RisingRow, inside="rising"),
        apart=read.table("apart", "audit.toml", ApartRow, inside="apart"),
        marked=read.table("marked", "audit.toml", MarkedRow, inside="marked"),
        reviews=read.table("review", "audit.toml", ReviewRow, inside="review"),
        standing=read.table("standing", "audit.toml", StandingRow, inside="standing"),
        texts=_texts(read),
        written_in=next(
            iter(read.table("language", "texts/*.toml", LanguageRow, only="language").values()), LanguageRow()
        ),
        headings=read.table("heading", REPORT, TextRow, inside="texts"),
        labels={code: row.root for code, row in read.table("labels", REPORT, Labels, inside="codes").items()},
        where=read.where,
        overrides=(*read.overrides, *talk_overrides(paths)),
        digest=sha256("\n".join(read.texts).encode()).hexdigest()[:16],
        version=VERSION,
    )
    read.check_files()
    check_rows(knowledge)
    return knowledge


_Ordered = TypeVar("_Ordered", Shape, RemedyRow, FateRow, SureRow, Together)


def _by_order(rows: Mapping[str, _Ordered]) -> dict[str, _Ordered]:
    return dict(sorted(rows.items(), key=lambda item: item[1].order))


def _texts(read: Layers) -> dict[str, TextRow]:
    """The texts; KnowledgeError where one that a later folder overrides has a hole that nothing fills."""

    def texts(layers: Layers) -> dict[str, TextRow]:
        return layers.table("text", "texts/*.toml", TextRow, without="language")

    laid = texts(read)
    if len(read.folders) == 1:
        return laid
    for code, row in texts(type(read)(read.folders[:1])).items():
        for hole in sorted(row.holes - laid[code].holes) if code.startswith(CHANGED) else ():
            raise KnowledgeError(
                f"text {code!r}: the hole {hole!r} is missing; it says what was changed",
                where=read.where["text", code],
                instead=f"Write {{{hole}}} in it",
            )
        for hole in sorted(laid[code].holes - row.holes):
            raise KnowledgeError(
                f"text {code!r}: there is no hole {hole!r}; it has "
                + (", ".join(map(repr, sorted(row.holes))) or "none"),
                where=read.where["text", code],
                instead=meant(hole, row.holes) if row.holes else "",
            )
    return laid


def _order(rows: Mapping[str, OrderRow]) -> OrderRow:
    if "order" not in rows:
        raise KnowledgeError(
            "the order of the criteria is missing",
            where="weighing.toml",
            instead="Write [order] with criteria = […]",
        )
    return rows["order"]
