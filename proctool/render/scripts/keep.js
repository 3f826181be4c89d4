// Place-keeping: ticks and entries stay on the device, under the digest of plan and verdict. Another revision
// has another digest, so nothing ticked for one is ever shown as done for another.

const keptUnder = () => `manual ${about().digest}`;

// Fill in what was kept, keep what is changed, and say whether that works here.
function keepPlace() {
  const named = entries();
  const works = recall(named);
  page("kept").textContent = word(works ? "kept" : "lost");
  document.addEventListener("input", () => store(named));
  page("anew").addEventListener("click", () => {
    if (window.confirm(word("anew"))) {
      forget(named);
    }
  });
}

function recall(named) {
  try {
    const kept = JSON.parse(localStorage.getItem(keptUnder())) || {};
    for (const { field, name } of named.filter(({ name }) => name in kept)) {
      if (field.type === "checkbox") {
        field.checked = kept[name] === true;
      } else {
        const [value, measure] = kept[name];
        write(field, value);
        setMeasure(field, measure);
      }
    }
    if (page("measures")) {
      page("measures").value = kept.measures || "";
    }
    return true;
  } catch {
    return false;
  }
}

function store(named) {
  const kept = { measures: page("measures") ? page("measures").value : "" };
  for (const { field, name } of named) {
    if (field.type === "checkbox" ? field.checked : written(field)) {
      kept[name] = field.type === "checkbox" ? true : [written(field), field.dataset.measure || ""];
    }
  }
  try {
    localStorage.setItem(keptUnder(), JSON.stringify(kept));
  } catch {
    page("kept").textContent = word("lost");
  }
}

function forget(named) {
  for (const { field } of named) {
    if (field.type === "checkbox") {
      field.checked = false;
    } else {
      write(field, "");
    }
  }
  changed(document.body);
}
