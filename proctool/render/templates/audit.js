"use strict";
// Without scripts the whole matrix is there; with them rows can be chosen, and a link into closed steps opens them.
{
  const form = document.getElementById("filter");
  const cases = [...document.querySelectorAll(".case")];
  const count = document.getElementById("count");

  function choose() {
    const asked = Object.fromEntries(new FormData(form));
    const narrow = asked.energy !== "" || asked.rows !== "";
    let shown = 0;
    for (const one of cases) {
      const fits = (asked.procedure === "" || one.dataset.procedure === asked.procedure)
        && (asked.unit === "" || one.dataset.unit === asked.unit);
      let left = 0;
      for (const row of one.querySelectorAll(".matrix tbody tr")) {
        row.hidden = !fits || (asked.energy !== "" && row.dataset.energy !== asked.energy)
          || (asked.rows !== "" && !(asked.rows in row.dataset));
        left += row.hidden ? 0 : 1;
      }
      one.hidden = !fits || (narrow && left === 0);
      shown += left;
    }
    count.textContent = shown === 1 ? count.dataset.one : count.dataset.many.replace("{n}", shown);
  }

  function reveal() {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target === null) return;
    const hidden = target.closest("[hidden]");
    if (hidden !== null) { form.reset(); choose(); }
    const closed = target.closest("details");
    if (closed !== null) closed.open = true;
    target.scrollIntoView();
  }

  form.hidden = false;
  form.addEventListener("change", choose);
  form.addEventListener("submit", (event) => event.preventDefault());
  window.addEventListener("hashchange", reveal);
  choose();
  reveal();
}
