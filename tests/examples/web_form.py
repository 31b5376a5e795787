"""A web form: what is typed becomes a situation, and the advice comes back as a page; what is wrong is said beside its field. Requests come many at once, and one adviser answers them.

flask --app tests/examples/web_form.py run
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from flask import Flask, Response, render_template_string, request

from decide import Adviser, DecideError, SituationError, paper, read_knowledge, situation_from_dict

# The keys of the situation file that the form asks for, with what stands before each.
FIELDS = {
    "place.name": "Town",
    "place.country": "Country, in two letters",
    "dates.play_by": "Play is wanted by, as 2026-09-12",
    "field.bare_percent": "How much is bare, in percent",
}
# A form is a few hundred bytes; what is longer is not read at all.
MOST_BYTES = 20_000
# Neither the form nor the advice needs a script, and nothing is loaded from elsewhere.
ALLOWED = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'self'; base-uri 'none'"
FORM = """<!doctype html><html lang="en"><title>Your field</title><h1>Your field</h1><form method="post">
{% for key, text in fields.items() %}<p><label>{{ text }} <input name="{{ key }}" value="{{ typed.get(key, '') }}"></label>
{% for each in wrong if key in each.wrong %}<strong>{{ each.wrong }}. {{ each.instead }}</strong>{% endfor %}</p>
{% endfor %}{% for each in wrong if not shown(each) %}<p><strong>{{ each }}</strong></p>{% endfor %}
<button>Advise me</button></form></html>"""


def situation_of(typed: dict[str, str], today: dt.date) -> dict[str, dict[str, object]]:
    """The nested table of a situation file from what was typed; what was left empty stays unknown."""
    tables: dict[str, dict[str, object]] = {"dates": {"today": today}}
    for key, text in typed.items():
        table, _, name = key.partition(".")
        if key in FIELDS and text.strip():
            tables.setdefault(table, {})[name] = text.strip()
    return tables


def create_app(adviser: Adviser | None = None, today: Callable[[], dt.date] = dt.date.today) -> Flask:
    """The form on an adviser; `today` tells the day, since the library reads no clock."""
    app = Flask(__name__)
    app.config["MAX_CONTENT_LENGTH"] = MOST_BYTES
    adviser = adviser or Adviser(read_knowledge())

    def form(typed: dict[str, str], error: SituationError | None = None) -> str:
        return render_template_string(
            FORM,
            fields=FIELDS,
            typed=typed,
            wrong=error.problems if error else (),
            shown=lambda each: any(key in each.wrong for key in FIELDS),
        )

    @app.get("/")
    def ask() -> str:
        return form({})

    @app.post("/")
    def answer() -> tuple[str, int]:
        typed = request.form.to_dict()
        try:
            return paper("page", adviser.advise(situation_from_dict(situation_of(typed, today())))), 200
        except SituationError as error:
            return form(typed, error), 400
        except DecideError as error:
            # Not the visitor's mistake: the reason goes to whoever runs this, not to the page.
            app.logger.error("%s", error)
            return "<!doctype html><title>No advice</title><p>No advice can be given just now.", 503

    @app.after_request
    def guarded(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = ALLOWED
        response.headers["X-Content-Type-Options"] = "nosniff"
        return response

    return app
