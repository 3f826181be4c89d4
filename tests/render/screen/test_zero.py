"""Zero is not ticked away: what each gauge, tester and way out showed is filled in before work goes on."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, StepKind
from proctool.render.html import page
from tests.render import kw4
from tests.render.screen.axe import violations
from tests.render.screen.pages import IN_SIGHT, click, fill, go_to, saved, text

FIRST = "Found, step 2 (bar)"
WITHIN = "Found, step 3.2 (bar)"
FAIL = "document.querySelector('%s > .fail').offsetHeight > 0"
NOT_OK = "This is not OK: now do what stands under the step."


def plan():
    zero = kw4.act("verify_zero", "first", "inlet_gauge")
    again = Otherwise(
        kw4.chain(
            kw4.do("seen/otherwise/wait", "Wait.", kind=StepKind.WAIT, lasts="5 min"),
            kw4.check(
                "seen/otherwise/zero",
                "The outlet gauge P2 reads 0 bar.",
                kw4.act("verify_zero", "second", "outlet_gauge"),
                otherwise=Otherwise(
                    kw4.chain(kw4.do("seen/otherwise/zero/otherwise/drain", "Drain it.")), Continue()
                ),
            ),
        ),
        Continue(),
    )
    return replace(
        kw4.plan(),
        frame=kw4.chain(
            kw4.do("tell", "Tell the line supervisor."),
            kw4.check("zero", "The inlet gauge P1 reads 0 bar.", zero, hold="the line supervisor"),
            kw4.check(
                "seen",
                "No water comes out of the carbon relief button V5.",
                kw4.act("verify_zero", "second", "second_button"),
                otherwise=again,
            ),
            kw4.do("look", "Look at the inlet gauge P1.", zero),
            kw4.check(
                "dry",
                "No water leaves the sediment housing.",
                otherwise=Otherwise(Frame((), ()), BackTo("zero", 0, 0b11110)),
            ),
        ),
        opens=(),
    )


@pytest.fixture(scope="module")
def manual(tmp_path_factory):
    path = tmp_path_factory.mktemp("page") / "manual.html"
    path.write_text(page(kw4.view(plan()), {}), encoding="utf-8")
    return path


def choose(browser, step: str, value: str) -> None:
    browser.evaluate(f"document.querySelector('#{step} > .main .choice input[value=\"{value}\"]').click()")


def tick(browser, step: str) -> bool:
    """Press the box of a step; whether it is ticked then."""
    box = f"document.querySelector('#{step} > .main .tick')"
    return browser.evaluate(f"({box}.click(), {box}.checked)")


def test_zero_wants_a_reading_within_its_limits(fresh):
    go_to(fresh, 2)
    click(fresh, "done")
    assert text(fresh, "says") == "Fill in what was found first."
    assert fresh.evaluate("document.activeElement.ariaLabel") == FIRST
    assert not tick(fresh, "step-2")
    fill(fresh, FIRST, "0.1")
    assert fresh.evaluate("document.querySelector('#step-2 .judged').textContent") == "✗ Outside its limits"
    click(fresh, "done")
    assert text(fresh, "says") == NOT_OK
    assert fresh.evaluate(FAIL % "#step-2") and fresh.evaluate("document.getElementById('done').disabled")
    assert not tick(fresh, "step-2")
    click(fresh, "not-ok")  # checks again
    fill(fresh, FIRST, "0")
    click(fresh, "done")
    assert text(fresh, "says") == "Hold point: it must be signed first."
    fill(fresh, "Signed, step 2", "A. B.")
    fill(fresh, "Time, step 2", "10:30")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-3"]


def test_where_no_number_is_shown_one_says_zero_or_not(fresh):
    go_to(fresh, 3)
    click(fresh, "done")
    assert text(fresh, "says") == "Fill in what was found first."
    assert fresh.evaluate("document.activeElement.type") == "radio"
    choose(fresh, "step-3", "not zero")
    click(fresh, "done")
    assert text(fresh, "says") == NOT_OK
    assert fresh.evaluate(FAIL % "#step-3")
    click(fresh, "not-ok")
    choose(fresh, "step-3", "zero")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-4"]


def test_what_is_done_instead_wants_its_zero_too(fresh):
    go_to(fresh, 3)
    choose(fresh, "step-3", "not zero")
    click(fresh, "done")
    assert tick(fresh, "step-3-1")
    assert not tick(fresh, "step-3-2")
    fill(fresh, WITHIN, "2")
    assert not tick(fresh, "step-3-2")  # outside, and what is to be done then is not done
    assert text(fresh, "says") == NOT_OK
    assert not tick(fresh, "step-3-2")
    assert text(fresh, "says").startswith("Do the steps for “not OK” first")
    assert tick(fresh, "step-3-2-1") and tick(fresh, "step-3-2")
    for step in ("step-3-2", "step-3-2-1"):
        tick(fresh, step)  # takes the tick away
    fill(fresh, WITHIN, "0")
    assert tick(fresh, "step-3-2")  # within its limits after all
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-4"]


def test_what_is_not_ok_is_not_ticked_by_hand(fresh):
    go_to(fresh, 5)
    click(fresh, "not-ok")
    assert not tick(fresh, "step-5")
    assert text(fresh, "says") == NOT_OK


def test_without_a_way_on_work_stops(fresh):
    go_to(fresh, 4)
    fill(fresh, "Found, step 4 (bar)", "1")
    click(fresh, "done")
    assert text(fresh, "says") == "Outside its limits: do not go on."
    assert fresh.evaluate(IN_SIGHT) == ["step-4"]


def test_what_is_done_again_is_found_again(fresh):
    fill(fresh, FIRST, "0")
    choose(fresh, "step-3", "zero")
    go_to(fresh, 5)
    click(fresh, "not-ok")
    fresh.evaluate("document.querySelector('#step-5 > .fail > .ending a').click()")
    assert fresh.evaluate(IN_SIGHT) == ["step-2"]
    click(fresh, "done")
    assert text(fresh, "says") == "Fill in what was found first."
    left = "[...document.querySelectorAll('#record [data-step=\"2\"] input')].map(f => f.value).join('')"
    assert fresh.evaluate(left) == ""
    assert not fresh.evaluate("document.querySelector('#step-3 input:checked, #record input:checked')")


def test_the_whole_page_takes_ticks_as_paper_does(fresh):
    assert tick(fresh, "step-2") and tick(fresh, "step-3")


def test_a_choice_is_kept_and_recorded(fresh, manual, tmp_path):
    choose(fresh, "step-3", "not zero")
    fill(fresh, FIRST, "0.1")
    fresh.visit(manual, width=360)
    chosen = "[...document.querySelectorAll('input:checked')].map(f => f.value)"
    assert fresh.evaluate(chosen) == ["not zero", "not zero"]  # beside the step and on the record sheet
    found = {entry["label"]: entry for entry in saved(fresh, tmp_path)["entries"]}
    seen, read = found["Found, record of step 3"], found["Found, record of step 2 (bar)"]
    assert (seen["value"], seen["measure"], seen["inside"]) == ("not zero", "", False)
    assert (read["value"], read["measure"], read["inside"]) == ("0.1", "bar", False)
    fresh.evaluate("window.confirm = () => true")
    click(fresh, "anew")
    assert json.loads(fresh.evaluate(f"JSON.stringify({chosen})")) == []


@pytest.mark.parametrize("width", [320, 390])
def test_it_fits_on_a_phone_and_under_a_thumb(fresh, manual, width):
    fresh.visit(manual, width=width)
    assert fresh.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
    sizes = fresh.evaluate("[...document.querySelectorAll('.option')].map(o => o.offsetHeight)")
    assert sizes and min(sizes) >= 44
    assert violations(fresh) == []
