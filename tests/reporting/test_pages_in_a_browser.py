"""Every page opened in a real browser: it asks for nothing and complains of nothing."""

import importlib.resources
import os
from dataclasses import replace

import made_results as made
import pytest

from verifier.findings import Finding, LineVerdict, Result
from verifier.reporting.page import student_page
from verifier.reporting.page_working import Drawing, Extras
from verifier.reporting.pdf import browser
from verifier.reporting.photo import Photo
from verifier.reporting.record import Particulars, check_record
from verifier.statics.solution import Step

playwright = pytest.importorskip("playwright.sync_api")
pytestmark = pytest.mark.skipif(browser() is None, reason="no Chromium on this machine")

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="60" height="20"><path d="M0 9h60"/></svg>'
EVIL = '"><script>fetch("http://evil.example")</script><img src=x onerror=alert(1)>${{7*7}}\x1b[2J'
STEPS = (Step("joint R", "ΣF_x", "2.5 − R-S = 0", ("R-S = 2.5 kN (T)",)),)
PARTICULARS = Particulars("BH-7", "B", "R. Ower", "C. Ox", "2031-05-02", (("w.txt", b"x"),), (2,))


def photo():
    image = pytest.importorskip("PIL.Image")
    return Photo(1, image.new("RGB", (600, 300), "white"))


def evil_result():
    fault = Finding("sign", 1, (0, 9), EVIL, EVIL, EVIL, EVIL)
    return Result(EVIL, EVIL, "fault", (fault,), (LineVerdict(1, EVIL, "fault", EVIL),),
                  notes=(EVIL,), cautions=(EVIL,))  # fmt: skip


def pages():
    drawing = Drawing(SVG, "The slip hoist bracket")
    whole = Extras((), drawing, drawing, ("Look at Q.",), STEPS, True)
    yield "fault", student_page(made.faulty(), whole)
    yield "fault-de", student_page(made.faulty(), whole, language="de")
    yield "right", student_page(made.right())
    yield "photo", student_page(made.doubtful(), Extras(photos=(photo(),)))
    yield "alone", student_page(made.alone())
    yield "evil", student_page(evil_result(), Extras((), Drawing(SVG, EVIL), None, (EVIL,)))
    yield "record", check_record(made.right(), "Slip hoist", STEPS, PARTICULARS, drawing)
    warned = replace(made.right(), cautions=("cable A-B would have to push",))
    yield "record-warned", check_record(warned, "Slip hoist", STEPS, PARTICULARS)
    yield "record-not", check_record(made.faulty(), "Slip hoist", STEPS, PARTICULARS)
    yield "record-de", check_record(made.doubtful(), "Helling", STEPS, PARTICULARS, language="de")
    evil = replace(PARTICULARS, reference=EVIL, checked_by=EVIL, inputs=((EVIL, b""),))
    yield "record-evil", check_record(evil_result(), EVIL, STEPS, evil)


PAGES = dict(pages())


@pytest.fixture(scope="module")
def chromium():
    flags = ["--no-sandbox"] if os.geteuid() == 0 else []
    with playwright.sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=browser(), args=flags)
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def axe():
    pytest.importorskip("axe_playwright_python")
    return (importlib.resources.files("axe_playwright_python") / "axe.min.js").read_text()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_renders_asks_for_nothing_and_is_accessible(name, chromium, axe, tmp_path):
    file = tmp_path / "page.html"
    file.write_text(PAGES[name], encoding="utf-8")
    context = chromium.new_context(viewport={"width": 390, "height": 800})
    page = context.new_page()
    asked, said = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("dialog", lambda dialog: said.append("a dialog opened"))
    page.goto(file.as_uri())
    assert page.locator("h1").count() == 1
    assert page.locator("main").inner_text().strip()
    assert [url for url in asked if not url.startswith("data:")] == [file.as_uri()]
    assert not said
    assert page.locator("script").count() == 0
    wider = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
    assert not wider, "the page is wider than a phone"
    page.evaluate(axe)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = page.evaluate("axe.run(document).then(run => run.violations)")
        wrong = [(one["id"], one["help"], one["nodes"][0]["html"]) for one in found]
        assert not wrong, scheme
    context.close()


def test_a_page_reads_well_without_its_style(chromium, tmp_path):
    page = chromium.new_page(java_script_enabled=False)
    page.set_content(PAGES["fault"])
    text = page.locator("body").inner_text()
    page.close()
    first = text.index("not right yet. It first goes wrong at line 2.")
    assert first < text.index("Statics wants") < text.index("The working") < text.index("Answers")


def test_details_open_with_the_keyboard(chromium):
    page = chromium.new_page()
    page.set_content(PAGES["fault"])
    page.locator("summary").first.focus()
    page.keyboard.press("Enter")
    assert page.locator("details").first.get_attribute("open") is not None
    page.close()
