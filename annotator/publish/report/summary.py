"""A case's step-duration summary in the format asked for."""

from collections.abc import Collection, Mapping

from annotator.measure.durations import summarise
from annotator.model.case import Case
from annotator.model.vocabulary import DEFAULT_LANGUAGE


def summary_text(
    case: Case,
    form: str,
    facet: str = "step",
    by_performer: bool = False,
    by_place: bool = False,
    width: int = 100,
    language: str = DEFAULT_LANGUAGE,
    of: Collection[str] = (),
    within: str = "",
    terms: Mapping[str, str] | None = None,
) -> tuple[str | bytes, tuple[str, ...]]:
    """The summary as text, or as bytes for `xlsx`, and sentences on what its figures rest on.

    `form` is one of table, csv, json, xlsx, html; a line of the table has at most `width` characters. The writers
    are loaded only when they are asked for. `of` and `within` are those of `summarise`. csv holds one table: that of
    the places with `by_place`, that of what lay within each step with `within`, else that of the facet.
    `terms` has what a training body calls the roles, for csv and json by performer.
    """
    summary = summarise(case, facet, by_performer, language, of, within)
    match form:
        case "csv":
            from annotator.publish.report import summary_csv

            if by_place:
                return summary_csv.dumps_places(summary), summary.notes
            if summary.within is not None:
                return summary_csv.dumps_within(summary.within, summary.altered), summary.notes
            return summary_csv.dumps(summary, terms), summary.notes
        case "json":
            from annotator.publish.report import summary_json

            return summary_json.dumps(summary, terms), summary.notes
        case "xlsx":
            from annotator.publish.report import summary_xlsx

            return summary_xlsx.dumps(summary), summary.notes
        case "html":
            from annotator.publish.report import summary_html

            return summary_html.dumps(summary, case, language), summary.notes
        case _:
            from annotator.publish.report import table

            return table.dumps(summary, width), summary.notes
