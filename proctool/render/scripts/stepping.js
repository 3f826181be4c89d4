// Step mode: the same page with one step in sight, its diagram beside it and three large buttons. The steps
// themselves are not copied, so ticks, entries and links are those of the page.

let steps = [];
let at = -1;

const stepping = () => document.body.classList.contains("stepping");
const tickOf = (step) => step.querySelector(":scope > .main input.tick");
const mayFail = (step) => step.querySelector(":scope > .fail") !== null;
const failed = (step) => step.classList.contains("failed");
const inside = (step) => (failed(step) ? all(".fail .step", step) : []);

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
  const unsigned = all(".hold input", main).find((field) => !field.value.trim());
  const open = inside(step).map(tickOf).find((tick) => !tick.checked);
  const unread = all("input[data-scales]", main).find((field) => !field.value.trim());
  const outside = all("input[data-scales]", main).find((field) =>
    judge(field) === "unread" || (judge(field) === "outside" && !failed(step)));
  return (open && ["first", open]) || (unread && ["write", unread]) || (outside && [judge(outside) === "unread" ? "unread" : "decide", outside])
    || (unsigned && ["sign", unsigned]) || null;
}

function tickAndGoOn() {
  const step = steps[at];
  const wanted = missing(step);
  if (wanted) {
    page("says").textContent = word(wanted[0]);
    wanted[1].focus();
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
  tickOf(step).checked = false;
  page("says").textContent = "";
  step.classList.toggle("failed");
  changed(tickOf(step));
  if (!failed(step)) {
    step.focus();
    return;
  }
  const fail = step.querySelector(":scope > .fail");
  fail.tabIndex = -1;
  fail.focus();
  fail.scrollIntoView();
}

// A link of the page leads into step mode too; going back takes away the ticks of what is done again.
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
    if (link) {
      follow(link, event);
    }
  });
  document.addEventListener("input", () => at >= 0 && refresh());
}
