// Readings against their limits, in the measure that they are written in. The limits are those that the page
// prints, rounded into the range; nothing is converted here. A choice is judged too: its first answer passes.

// What is to be read, or chosen where no number says it.
const READINGS = "input[data-scales], .choice";

// The measures of a field: [{measure, low, high}], with plain decimals or empty ends.
function scalesOf(field) {
  return JSON.parse(field.dataset.scales || "[]");
}

// The scale that a field is read in now.
function scaleOf(field) {
  const scales = scalesOf(field);
  return scales.find((scale) => scale.measure === field.dataset.measure) || scales[0];
}

// Read a field in another of its measures from now on.
function setMeasure(field, measure) {
  if (scalesOf(field).some((scale) => scale.measure === measure)) {
    field.dataset.measure = measure;
    field.closest(".blank").querySelector(".blank-measure").textContent = measure;
    const label = field.getAttribute("aria-label").replace(/ \([^()]*\)$/, "");
    field.setAttribute("aria-label", `${label} (${measure})`);
  }
}

// "inside", "outside", "unread" for what is no number; empty where there is nothing to judge.
function judge(field) {
  if (field.matches(".choice")) {
    return written(field) && (field.querySelector("input").checked ? "inside" : "outside");
  }
  const scale = scaleOf(field);
  if (!scale || !field.value.trim() || !(scale.low || scale.high)) {
    return "";
  }
  const value = readNumber(field.value);
  if (value === null) {
    return "unread";
  }
  const low = scale.low === "" || value >= Number(scale.low);
  return low && (scale.high === "" || value <= Number(scale.high)) ? "inside" : "outside";
}

function tellJudgement(field) {
  const found = judge(field);
  const told = page(field.getAttribute("aria-describedby"));
  told.textContent = found ? word(found) : "";
  told.className = `judged ${found}`;
  field.setAttribute("aria-invalid", found === "outside" || found === "unread");
}

// Judge each reading now and whenever it changes; a step's reading goes into the record sheet as well.
function judgeReadings() {
  const fields = all("input[data-scales]");
  fields.forEach((field, n) => {
    const told = field.closest(".read").querySelector(".judged");
    told.id = `judged-${n}`;
    field.setAttribute("aria-describedby", told.id);
    tellJudgement(field);
  });
  document.addEventListener("input", () => fields.forEach(tellJudgement));
  linkToRecord();
}

// What is written beside a step is not to be written again.
function linkToRecord() {
  for (const field of all(FIELDS, page("steps"))) {
    const number = field.closest(".step").dataset.number;
    const other = all(`#record [data-step="${number}"] [data-label]`)
      .find((one) => one.dataset.label === field.dataset.label);
    if (other) {
      field.addEventListener("input", () => {
        write(other, written(field));
        setMeasure(other, field.dataset.measure);
      });
    }
  }
}
