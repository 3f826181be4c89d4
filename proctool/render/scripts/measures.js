// The switch of measures: "4.0 bar (58.0 psi)" becomes one of both. Only what the page prints is shown or not;
// nothing is converted. A reading that is written already keeps its measure.

const escaped = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");

// A regular expression for a quantity or range with the same in the other measures in brackets.
function amounts(kinds) {
  const number = "[-\u2212]?\\d[\\d.,/]*";
  const symbols = kinds.flat().sort((a, b) => b.length - a.length).map(escaped).join("|");
  const one = `${number}(?: to ${number})? (?:${symbols})(?: or (?:less|more))?`;
  return new RegExp(`(${one}) \\((${one}(?:, ${one})*)\\)`, "gu");
}

// The texts of the page that say an amount in several measures, each taken apart once.
function takeApart(kinds) {
  const pattern = amounts(kinds);
  const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  const texts = [];
  while (walker.nextNode()) {
    if (!walker.currentNode.parentElement.closest("svg, script, style, option")) {
      texts.push(walker.currentNode);
    }
  }
  for (const text of texts.filter((text) => text.data.match(pattern))) {
    const pieces = document.createDocumentFragment();
    let end = 0;
    for (const found of text.data.matchAll(pattern)) {
      pieces.append(text.data.slice(end, found.index));
      const amount = document.createElement("span");
      amount.className = "amount";
      amount.dataset.each = JSON.stringify([found[1], ...found[2].split(", ")]);
      amount.dataset.written = amount.textContent = found[0];
      pieces.append(amount);
      end = found.index + found[0].length;
    }
    pieces.append(text.data.slice(end));
    text.replaceWith(pieces);
  }
}

// Show all amounts in the measures at a place of their kinds; as written for an empty choice.
function showMeasures(kinds, choice) {
  const wanted = choice === "" ? [] : kinds.map((kind) => kind[Math.min(choice, kind.length - 1)]);
  const measure = (said) => said.replace(/ or (less|more)$/, "").split(" ").pop();
  for (const amount of all(".amount")) {
    const found = JSON.parse(amount.dataset.each).find((said) => wanted.includes(measure(said)));
    amount.textContent = found || amount.dataset.written;
  }
  for (const field of all("input[data-scales]").filter((field) => !field.value)) {
    const measures = scalesOf(field).map((scale) => scale.measure);
    setMeasure(field, measures.find((symbol) => wanted.includes(symbol)) || measures[0]);
  }
}

function switchMeasures() {
  const choice = page("measures");
  if (choice) {
    const kinds = JSON.parse(about().measures);
    takeApart(kinds);
    choice.addEventListener("input", () => showMeasures(kinds, choice.value));
    showMeasures(kinds, choice.value);
  }
}
