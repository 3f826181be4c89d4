// Step mode: the same page with one step in sight, its diagram beside it and three large buttons. The steps
// themselves are not copied, so ticks, entries and links are those of the page.

let steps = [];
let at = -1;

const stepping = () => document.body.classList.contains("stepping");
const tickOf = (step) => step.querySelector(":scope > .main input.tick");
const mayFail = (step) => step.querySelector(":scope > .fail") !== null;
const failed = (step) => step.classList.contains("failed");
const inside = (step) => (failed(step) ? all(".fail .step", step) : []);
const firstInside = (step) => (failed(step) ? all(":scope > .fail > .steps > .step", step) : []);

// A reading of a step that is outside its limits; in a step done because another failed, it alone says not OK.
const outside = (step) =>
  all(READINGS, step.querySelector(":scope > .main")).find((field) => judge(field) === "outside");

// Take a step into sight; -1 for the whole page.
function goTo(place) {
  const was = steps[at];
  at = place;
  document.body.classList.toggle("stepping", at >= 0);
  for (const part of all(".stepper-head, .stepper-bar, #now")) {
    shown(part, at >= 0);
  }
  all(".here, .current").forEach((element) => element.classList.remove("here", "current"));
  if (at < 0) {
    was.scrollIntoView();
    page("stepping").focus({ preventScroll: true });
    return;
  }
  const step = steps[at];
  step.classList.add("current");
  step.parentElement.classList.add("here");
  headingsOver(step.parentElement).forEach((element) => element.classList.add("here"));
  shown(page("not-ok"), mayFail(step));
  shown(page("later"), step.parentElement.classList.contains("free"));
  page("back").disabled = at === 0;
  page("says").textContent = "";
  refresh();
  step.tabIndex = -1;
  step.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}

// The headings and the note of order that hold for a list: upwards, each level once.
function headingsOver(list) {
  const found = [];
  let level = 7;
  for (let above = list.previousElementSibling; above; above = above.previousElementSibling) {
    const own = Number((/^H([3-6])$/.exec(above.tagName) || [])[1] || 0);
    if (own && own < level) {
      found.push(above);
      level = own;
    } else if (above.classList.contains("order") && level === 7) {
      found.push(above);
    }
  }
  return found;
}

// Whether work goes on after a step: not where its check failed and the page says stop, or go back.
function goesOn(step) {
  const ending = step.querySelector(":scope > .fail > .ending");
  return !failed(step) || !(ending.classList.contains("stops") || ending.querySelector("a"));
}

// What stands around the step in sight: where it is, what the buttons do, what the diagram shows.
function refresh() {
  const step = steps[at];
  const last = at === steps.length - 1;
  inside(step).filter((one) => !outside(one)).forEach((one) => one.classList.remove("failed"));
  page("where").textContent = word("step", { number: step.dataset.number, all: steps.length });
  page("ticked").textContent = word("ticked", { n: steps.filter((one) => tickOf(one).checked).length });
  page("done").textContent = word((last ? "last" : "next") + (mayFail(step) ? "Ok" : ""));
  page("done").disabled = !goesOn(step);
  page("not-ok").textContent = word(failed(step) ? "again" : "notOk");
  const inner = inside(step);
  const open = inner.find((one) => !tickOf(one).checked);
  const moment = open || inner[inner.length - 1] || step;
  const before = open !== undefined || (!inner.length && !tickOf(step).checked);
  drawMoment(
    before ? moment.dataset.before : moment.dataset.after,
    moment.dataset.parts.split(" "),
    word(before ? "before" : "after", { number: moment.dataset.number }),
  );
}

// Why a step cannot be ticked yet: a word of the page, and the field that wants it; null if it can.
function missing(step) {
  const main = step.querySelector(":scope > .main");
  const fields = all(READINGS, main);
  const off = outside(step);
  const wanted = {
    first: firstInside(step).map(tickOf).find((tick) => !tick.checked),
    write: fields.find((field) => !written(field)),
    unread: fields.find((field) => judge(field) === "unread"),
    decide: mayFail(step) && (failed(step) ? !goesOn(step) && step : off),
    stop: !mayFail(step) && off,
    sign: all(".hold input", main).find((field) => !written(field)),
  };
  return Object.entries(wanted).find(([, field]) => field) || null;
}

// Whether a step may be ticked. If not, that is said; what is outside its limits is not OK, and what is to be
// done then comes into sight.
function mayTick(step) {
  const wanted = missing(step);
  page("says").textContent = wanted ? word(wanted[0]) : "";
  if (!wanted) {
    return true;
  }
  if (wanted[0] === "decide") {
    fail(step);
  } else {
    (wanted[1].querySelector("input") || wanted[1]).focus();
  }
  return false;
}

function tickAndGoOn() {
  const step = steps[at];
  if (!mayTick(step)) {
    return;
  }
  tickOf(step).checked = true;
  step.classList.remove("failed");
  changed(tickOf(step));
  if (at < steps.length - 1) {
    goTo(at + 1);
  } else {
    goTo(-1);
    page("record").scrollIntoView();
  }
}

// The next step that is not ticked, after this one, then from the start.
function goToOpen() {
  const order = steps.map((_, n) => (at + 1 + n) % steps.length);
  const open = order.find((n) => n !== at && !tickOf(steps[n]).checked);
  if (open !== undefined) {
    goTo(open);
  }
}

// The check failed; pressed once more, it is done again.
function sayNotOk() {
  const step = steps[at];
  page("says").textContent = "";
  if (failed(step)) {
    step.classList.remove("failed");
    changed(tickOf(step));
    step.focus();
  } else {
    fail(step);
  }
}

// A check did not pass: what is to be done then comes into sight.
function fail(step) {
  const then = step.querySelector(":scope > .fail");
  tickOf(step).checked = false;
  step.classList.add("failed");
  changed(tickOf(step));
  then.tabIndex = -1;
  then.focus();
  then.scrollIntoView();
}

// A link of the page leads into step mode too; going back takes away what was ticked and found in steps that are
// done again.
function follow(link, event) {
  const target = page(link.hash.slice(1));
  const main = target && steps.find((step) => step.contains(target));
  if (!main || !stepping()) {
    return;
  }
  event.preventDefault();
  const undone = link.closest(".ending") ? link.closest(".fail").dataset.undone : "";
  for (const step of (undone || "").split(" ").filter(Boolean).map(page)) {
    all("input.tick", step).forEach((tick) => { tick.checked = false; });
    for (const field of all(FIELDS, step)) {
      write(field, "");
      changed(field);
    }
    step.classList.remove("failed");
  }
  changed(document.body);
  main.classList.toggle("failed", main !== target);
  goTo(steps.indexOf(main));
  target.scrollIntoView();
}

function stepThrough() {
  steps = all("#steps > .steps > .step");
  shown(page("stepping"), steps.length > 0);
  const first = () => Math.max(0, steps.findIndex((step) => !tickOf(step).checked));
  page("stepping").addEventListener("click", () => goTo(first()));
  page("whole").addEventListener("click", () => goTo(-1));
  page("back").addEventListener("click", () => goTo(at - 1));
  page("later").addEventListener("click", goToOpen);
  page("not-ok").addEventListener("click", sayNotOk);
  page("done").addEventListener("click", tickAndGoOn);
  page("steps").addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    const tick = event.target.closest("input.tick");
    if (link) {
      follow(link, event);
    } else if (tick && tick.checked && stepping() && !mayTick(tick.closest(".step"))) {
      event.preventDefault();
    }
  });
  document.addEventListener("input", () => at >= 0 && refresh());
}
