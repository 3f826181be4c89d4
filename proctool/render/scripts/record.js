// The record: printed alone, or saved as a JSON file (schemas/record.schema.json).

// What is still open: how many steps and fields of the record sheet, of how many.
function openOf() {
  const ticks = all("#steps > .steps > .step").map(tickOf);
  const fields = all(FIELDS, page("record"));
  return {
    steps: [ticks.filter((tick) => !tick.checked).length, ticks.length],
    fields: [fields.filter((field) => !written(field)).length, fields.length],
  };
}

function recordNow() {
  const { procedure, unit, document, revision, library, digest, mark } = about();
  const { steps: [steps], fields: [fields] } = openOf();
  const named = entries();
  return {
    record: 1,
    ...{ procedure, unit, document, revision, library, digest, mark },
    saved: new Date().toISOString(),
    complete: steps === 0 && fields === 0,
    steps: named.filter(({ field }) => field.type === "checkbox").map(({ field }) =>
      ({ number: field.closest(".step").dataset.number, done: field.checked })),
    entries: named.filter(({ field }) => field.type !== "checkbox").map(({ field, place, label }) => {
      const judged = judge(field);
      return {
        place,
        label,
        measure: field.dataset.measure || "",
        value: written(field),
        inside: { inside: true, outside: false }[judged] ?? null,
      };
    }),
  };
}

function saveRecord() {
  const { procedure, unit } = about();
  const text = `${JSON.stringify(recordNow(), null, 2)}\n`;
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = `record-${procedure}-${unit}.json`;
  link.click();
  URL.revokeObjectURL(link.href);
}

function printRecord() {
  document.body.classList.add("record-only");
  window.addEventListener("afterprint", () => document.body.classList.remove("record-only"), { once: true });
  window.print();
}

function keepRecord() {
  const tell = () => {
    const { steps: [steps, allSteps], fields: [fields, allFields] } = openOf();
    page("finished").textContent =
      steps || fields ? word("open", { steps, allSteps, fields, allFields }) : word("whole");
  };
  page("print-record").addEventListener("click", printRecord);
  page("save-record").addEventListener("click", saveRecord);
  document.addEventListener("input", tell);
  tell();
}
