"""Step mode: one step in sight, and a diagram that follows."""

from __future__ import annotations

import pytest

from tests.render.screen.pages import IN_SIGHT, click, fill, go_to, press, tab_to, text

SIGN = """
(() => {
  const sign = document.querySelector('#now .pic-state[data-part=%s][data-energy=%s]');
  const on = [...sign.children].filter(g => g.getAttribute('display') !== 'none').map(g => g.classList[0]);
  return [sign.dataset.state, ...on];
})()
"""


def test_one_step_is_in_sight_and_a_button_ticks_it(fresh):
    go_to(fresh, 1)
    assert text(fresh, "where") == "Step 1 of 34"
    assert fresh.evaluate("document.getElementById('back').disabled")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-2"]
    assert fresh.evaluate("document.querySelector('#step-1 .tick').checked")
    assert text(fresh, "ticked") == "1 ticked"
    click(fresh, "back")
    assert fresh.evaluate(IN_SIGHT) == ["step-1"]
    click(fresh, "whole")
    assert len(fresh.evaluate(IN_SIGHT)) > 34
    assert fresh.evaluate("document.activeElement.id") == "stepping"


def test_the_diagram_shows_what_is_live_then(fresh):
    go_to(fresh, 1)
    assert fresh.evaluate(SIGN % ("first", "water"))[1:] == ["pic-as-may-be-live"]  # no run was handed over
    shut = fresh.evaluate("""
        (() => { const step = [...document.querySelectorAll('#steps > .steps > .step')]
          .find(s => s.dataset.parts.includes('inlet_valve')); return Number(step.dataset.number); })()
    """)
    click(fresh, "whole")
    go_to(fresh, shut)
    assert text(fresh, "now-title") == f"Before step {shut}"
    assert fresh.evaluate(SIGN % ("first", "water")) == ["live", "pic-as-live"]
    assert "inlet_valve" in fresh.evaluate(
        "[...document.querySelectorAll('#now .in-hand')].map(p => p.dataset.part)"
    )
    fresh.evaluate(f"document.querySelector('#step-{shut} .tick').click()")
    assert text(fresh, "now-title") == f"After step {shut}"
    assert fresh.evaluate(SIGN % ("first", "water")) == ["trapped", "pic-as-trapped"]
    assert "water: trapped" in text(fresh, "now-words")


def test_what_to_do_then_is_in_sight_when_a_check_is_not_ok(fresh):
    go_to(fresh, 7)
    assert fresh.evaluate("getComputedStyle(document.querySelector('#step-7 > .fail')).display") == "none"
    click(fresh, "not-ok")
    assert fresh.evaluate("document.querySelector('#step-7 > .fail').offsetHeight") > 0
    assert fresh.evaluate("document.activeElement.className") == "fail short"


def test_work_goes_on_only_where_the_page_says_so(fresh):
    stops, back, on = fresh.evaluate("""
        ['.stops', ':has(> p > a)', ':not(.stops):not(:has(a))'].map(kind => {
          const found = document.querySelector(`#steps > .steps > .step > .fail > .ending${kind}`);
          return found && Number(found.closest('.fail').parentElement.dataset.number);
        })
    """)
    for number in (stops, back):
        go_to(fresh, number)
        click(fresh, "not-ok")
        assert fresh.evaluate("document.getElementById('done').disabled")
        assert text(fresh, "not-ok") == "Check again"
        click(fresh, "not-ok")
        assert not fresh.evaluate("document.getElementById('done').disabled")
        assert fresh.evaluate("document.activeElement.id") == f"step-{number}"
        click(fresh, "whole")
    go_to(fresh, on)
    click(fresh, "not-ok")
    click(fresh, "done")
    assert text(fresh, "says").startswith("Do the steps for “not OK” first")
    fresh.evaluate("document.querySelectorAll('.current .fail .tick').forEach(t => t.click())")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == [f"step-{on + 1}"]


def test_going_back_takes_away_the_ticks_of_what_is_done_again(fresh):
    go_to(fresh, 27)
    click(fresh, "not-ok")
    target, undone = fresh.evaluate("""
        (() => { const fail = document.querySelector('#step-27 > .fail');
          const link = fail.querySelector(':scope > .ending a');
          const found = [link.hash.slice(1), fail.dataset.undone.split(' ')];
          link.click(); return found; })()
    """)
    assert fresh.evaluate(IN_SIGHT) == [target]
    ticked = fresh.evaluate(
        "[...document.querySelectorAll('#steps > .steps > .step')]"
        ".filter(s => s.querySelector('.tick').checked).map(s => s.id)"
    )
    assert set(ticked).isdisjoint(undone)
    kept = {f"step-{n}" for n in range(1, 27)} - set(undone)
    assert set(ticked) == kept
    assert any(int(step.split("-")[1]) > int(target.split("-")[1]) for step in kept)  # done once only


def test_a_hold_point_and_a_reading_want_their_fields_first(fresh):
    go_to(fresh, 30)
    click(fresh, "done")
    assert text(fresh, "says") == "Hold point: it must be signed first."
    fill(fresh, "Signed, step 30", "A. B.")
    fill(fresh, "Time, step 30", "10:30")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-31"]
    click(fresh, "whole")
    go_to(fresh, 33)
    click(fresh, "done")
    assert text(fresh, "says") == "Fill in what was found first."
    fill(fresh, "Reading, step 33 (bar)", "9")
    click(fresh, "done")
    assert text(fresh, "says") == "This is not OK: now do what stands under the step."
    assert fresh.evaluate("document.querySelector('#step-33 > .fail').offsetHeight") > 0
    click(fresh, "not-ok")
    fill(fresh, "Reading, step 33 (bar)", "3.5")
    click(fresh, "done")
    assert fresh.evaluate(IN_SIGHT) == ["step-34"]


def test_another_step_first_only_where_the_order_is_free(fresh):
    go_to(fresh, 1)
    strict = fresh.evaluate("document.getElementById('later').hidden")
    free = fresh.evaluate("document.querySelector('#steps > .steps.free > .step').dataset.number")
    click(fresh, "whole")
    go_to(fresh, int(free))
    assert strict and not fresh.evaluate("document.getElementById('later').hidden")
    click(fresh, "later")
    assert fresh.evaluate(IN_SIGHT) == [f"step-{int(free) + 1}"]
    assert not fresh.evaluate(f"document.querySelector('#step-{free} .tick').checked")


def test_a_keyboard_is_enough(fresh):
    tab_to(fresh, "stepping")
    press(fresh, "Enter")
    assert fresh.evaluate("document.activeElement.id") == "step-1"
    press(fresh, "Tab")
    press(fresh, " ")
    assert fresh.evaluate("document.querySelector('#step-1 .tick').checked")
    for number in (2, 3):
        tab_to(fresh, "done", 20)
        press(fresh, "Enter")
        assert fresh.evaluate("document.activeElement.id") == f"step-{number}"
    press(fresh, "Tab")
    for _ in range(20):
        over = fresh.evaluate("""
            (() => { const bar = document.querySelector('.stepper-bar');
              const field = document.activeElement.getBoundingClientRect();
              return bar.contains(document.activeElement) || document.activeElement === document.body
                || field.bottom <= bar.getBoundingClientRect().top + 1; })()
        """)
        assert over, "the focus is under the bar"
        press(fresh, "Tab")


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
def test_nothing_sticks_out_sideways_in_step_mode(fresh, manual, width):
    fresh.visit(manual, width=width)
    click(fresh, "stepping")
    assert fresh.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
