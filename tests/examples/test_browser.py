"""The web form in a headless browser: filled in, sent, put right and read, with hostile words and several visitors at once; slow."""

from __future__ import annotations

import datetime as dt
import shutil
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from decide import Adviser

BROWSER, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
TODAY = dt.date(2026, 5, 12)
HOSTILE = "\"><script>document.title='taken'</script><img src=x onerror=\"document.title='taken'\">"
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not (BROWSER and DRIVER), reason="there is no chromium with its chromedriver here"),
]


@pytest.fixture(scope="module")
def address(adviser: Adviser) -> Iterator[str]:
    """The form, served to many at once by threads of this process."""
    pytest.importorskip("flask", reason="the web form needs flask, of the extra `test`")
    from werkzeug.serving import make_server

    from tests.examples import web_form

    server = make_server("127.0.0.1", 0, web_form.create_app(adviser, lambda: TODAY), threaded=True)
    serving = threading.Thread(target=server.serve_forever)
    serving.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    serving.join()


@pytest.fixture
def browser() -> Iterator[Any]:
    webdriver = pytest.importorskip("selenium.webdriver", reason="selenium comes with the extra `browser`")
    options = webdriver.ChromeOptions()
    options.binary_location = BROWSER
    for word in ("--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))
    driver.set_page_load_timeout(120)
    yield driver
    driver.quit()


def send(browser: Any, **typed: str) -> None:
    for key, text in typed.items():
        box = browser.find_element("name", key.replace("__", "."))
        box.clear()
        box.send_keys(text)
    from selenium.webdriver.support import expected_conditions
    from selenium.webdriver.support.wait import WebDriverWait

    page = browser.find_element("css selector", "html")
    browser.find_element("css selector", "button").click()
    # What is looked at next is the answer, and no more the page that it takes the place of.
    WebDriverWait(browser, 60).until(expected_conditions.staleness_of(page))


def seen(browser: Any) -> str:
    return str(browser.find_element("css selector", "body").text)


def test_a_visitor_is_put_right_and_gets_the_advice(browser: Any, address: str) -> None:
    browser.get(address)
    send(browser, place__name=HOSTILE, place__country="gb", dates__play_by="12/6", field__bare_percent="400")
    # Wrong things stand beside their fields, what was typed stands in its box, and nothing of it has run.
    assert "Write it as 2026-05-20" in seen(browser)
    assert "It is at most 100" in seen(browser)
    assert browser.find_element("name", "place.name").get_attribute("value") == HOSTILE
    assert browser.title == "Your field"
    assert browser.find_elements("css selector", "script, img[src=x]") == []
    send(browser, place__name="York", dates__play_by="2026-09-12", field__bare_percent="60")
    assert "York" in browser.title
    text = seen(browser)
    assert "12 May 2026" in text
    # The page opens without a script: what is folded away is there, and can be opened.
    folded = browser.find_elements("css selector", "details")
    assert folded
    folded[0].find_element("css selector", "summary").click()
    assert folded[0].get_attribute("open") is not None
    wrong = [
        row
        for row in browser.get_log("browser")
        if row["level"] == "SEVERE" and "favicon" not in row["message"] and "400" not in row["message"]
    ]
    assert wrong == []


def test_visitors_at_once_each_get_their_own(browser: Any, address: str) -> None:
    """Windows of one browser, all sent before any answer is read."""
    support = pytest.importorskip(
        "selenium.webdriver.support.ui", reason="selenium comes with the extra `browser`"
    )
    towns = ("York", "Leeds", "Truro")
    for number, town in enumerate(towns):
        if number:
            browser.switch_to.new_window("tab")
        browser.get(address)
        browser.find_element("name", "place.name").send_keys(town)
        browser.find_element("name", "place.country").send_keys("gb")
        browser.find_element("name", "field.bare_percent").send_keys("60")
    for handle in browser.window_handles:
        browser.switch_to.window(handle)
        browser.execute_script("setTimeout(() => document.forms[0].submit(), 10)")
    found = []
    for handle in browser.window_handles:
        browser.switch_to.window(handle)
        support.WebDriverWait(browser, 120).until(lambda driver: driver.title != "Your field")
        found.append(next(town for town in towns if town in browser.title))
    assert found == list(towns)
