// The diagram that follows the work: which sign stands in each part, and the same in words.

const SIGNS = { l: "as-live", m: "as-may-be-live", t: "as-trapped", z: "as-zero" };
const WORST_FIRST = "lmtz";

// Show a moment: a letter for each (part, energy), the parts in hand, and what moment it is.
function drawMoment(letters, parts, title) {
  const { held, energies, labels, names } = page("now").dataset;
  const [ids, by, called, energy] = [held, energies, labels, names].map((list) => JSON.parse(list));
  const signs = new Map(
    all(".pic-state", page("now")).map((sign) => [`${sign.dataset.part} ${sign.dataset.energy}`, sign]));
  const found = new Map();
  ids.forEach((part, n) => {
    const sign = signs.get(`${part} ${by[n]}`);
    if (sign) {
      sign.dataset.state = word(letters[n]);
      for (const [letter, name] of Object.entries(SIGNS)) {
        sign.querySelector(`.pic-${name}`).setAttribute("display", letter === letters[n] ? "inline" : "none");
      }
    }
    const states = found.get(energy[n]) || found.set(energy[n], new Map()).get(energy[n]);
    states.set(letters[n], [...(states.get(letters[n]) || []), called[n]]);
  });
  for (const part of all(".pic-part", page("now"))) {
    part.classList.toggle("in-hand", parts.includes(part.dataset.part));
  }
  page("now-title").textContent = title;
  page("now-words").replaceChildren(...[...found].map(([name, states]) => inWords(name, states)));
}

// One energy: the worst first, the parts by name, or none where all are alike.
function inWords(name, states) {
  const item = document.createElement("li");
  const lead = document.createElement("strong");
  lead.textContent = `${name}: `;
  const said = [...WORST_FIRST].filter((letter) => states.has(letter)).map((letter) =>
    states.size === 1
      ? word(letter)
      : word("in", { state: word(letter), parts: states.get(letter).join(word("comma")) }));
  item.append(lead, said.join(word("clause")));
  return item;
}
