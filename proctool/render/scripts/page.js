// What all scripts of a manual share. Each file is a few functions; `start.js`, the last, calls them.
// They are joined into one, so that the page needs no other file and its policy names one script alone.

const page = (id) => document.getElementById(id);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const about = () => page("page-data").dataset;

// A sentence of the page, with values in the place of its {names}.
function word(name, values = {}) {
  return page("page-words").dataset[name].replace(/\{(\w+)\}/g, (whole, key) => values[key] ?? whole);
}

// Show or hide.
function shown(element, so) {
  element.hidden = !so;
}

// The number that a text says; null for none. A comma is read as a point unless it may part thousands.
function readNumber(text) {
  const plain = text.trim().replace("\u2212", "-");
  const pointed = /^[-+]?\d+,\d{1,2}$/.test(plain) ? plain.replace(",", ".") : plain;
  return /^[-+]?\d+(\.\d+)?$/.test(pointed) ? Number(pointed) : null;
}

// What is filled in: fields to write in, and choices.
const FIELDS = "input.blank-line, .choice";

// What stands in a field; of a choice what is chosen.
function written(field) {
  const chosen = field.querySelector(":checked");
  return field.matches("input") ? field.value.trim() : chosen ? chosen.value : "";
}

// Fill in a field, or choose; nothing takes it away again.
function write(field, value) {
  if (field.matches("input")) {
    field.value = value;
  } else {
    all("input", field).forEach((one) => { one.checked = one.value === value; });
  }
}

// All that a technician ticks and fills in, each with a name that stays: where it stands and what it is.
function entries() {
  const seen = new Map();
  return all(`input.tick, ${FIELDS}`).map((field) => {
    const place = field.closest("[id]").id;
    const label = field.getAttribute("aria-label") || field.closest("label").innerText.trim();
    const name = `${place} | ${label}`;
    seen.set(name, (seen.get(name) || 0) + 1);
    return { field, place, label, name: `${name} | ${seen.get(name)}` };
  });
}

// Tell all listeners that fields were changed by the page itself.
function changed(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
