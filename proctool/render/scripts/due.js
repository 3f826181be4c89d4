// A due table that answers: type the readings, see what its rows say. It takes the rows and edges that are
// printed, so that it never says other than the table; what it cannot tell counts as due there too.

const WORST = ["due", "cannot", "soon", "not"];

// The row for one reading: its value in the table; null outside it, undefined where neither neighbour is sure.
function rowFor(values, reading, way) {
  const rows = [...new Set(values)].sort((a, b) => a - b);
  if (reading < rows[0] || reading > rows[rows.length - 1]) {
    return null;
  }
  if (rows.includes(reading)) {
    return reading;
  }
  const higher = rows.findIndex((row) => row > reading);
  return { up: rows[higher], down: rows[higher - 1] }[way];
}

// What a reading of the answer's gauge says in a row.
function bandOf(limit, value, less) {
  const upTo = (edge) => edge !== "" && (less ? value <= Number(edge) : value >= Number(edge));
  if (upTo(limit.sure)) {
    return "due";
  }
  if (limit.open === "" || upTo(limit.open)) {
    return "cannot";
  }
  return upTo(limit.soon) ? "soon" : "not";
}

// [band, why]: the worst of all answers; null while a reading is missing.
function askTable(table, values) {
  const dials = [...table.readings, ...table.answers];
  if (values.some((value) => value === null)) {
    return null;
  }
  const off = (dial, n) => (dial.low && values[n] < Number(dial.low)) || (dial.high && values[n] > Number(dial.high));
  if (dials.some(off)) {
    return ["cannot", "offScale"];
  }
  const found = table.answers.map((_, answer) => {
    const at = table.readings.map((_, n) =>
      rowFor(table.rows.map(([readings]) => Number(readings[n])), values[n], table.nearby[answer][n]));
    if (at.includes(null)) {
      return ["cannot", "offRows"];
    }
    if (at.includes(undefined)) {
      return ["due", "between"];
    }
    const row = table.rows.find(([readings]) => readings.every((value, n) => Number(value) === at[n]));
    if (!row) {
      return ["cannot", "offRows"];
    }
    return [bandOf(row[1][answer], values[table.readings.length + answer], table.less[answer]), ""];
  });
  return found.sort(([a], [b]) => WORST.indexOf(a) - WORST.indexOf(b))[0];
}

function answerTables() {
  for (const box of all("[data-lookup]")) {
    const table = JSON.parse(box.dataset.lookup);
    const fields = all("input", box);
    const told = box.querySelector(".told-due");
    const meanings = all(".meanings > div", box.closest(".sheet"));
    const tell = () => {
      const unread = fields.some((field) => field.value.trim() && readNumber(field.value) === null);
      const found = askTable(table, fields.map((field) => readNumber(field.value)));
      told.className = `told-due ${found ? `is-${found[0]}` : ""}`;
      told.textContent = unread ? word("unread") : "";
      if (found) {
        const said = meanings[WORST.indexOf(found[0])];
        const lead = document.createElement("strong");
        lead.textContent = `${said.querySelector("dt").textContent}.`;
        const why = found[1] ? ` ${word(found[1])}` : "";
        told.replaceChildren(lead, `${why} ${said.querySelector("dd").textContent}`);
      }
    };
    box.addEventListener("input", tell);
    tell();
  }
}
