"use strict";
// Without scripts the lists of the page are all there; with them its index can be searched. Nothing is fetched.
{
  const SHOWN = 40;
  const { places, words } = JSON.parse(document.getElementById("index").textContent);
  const form = document.getElementById("find");
  const asked = document.getElementById("asked");
  const found = document.getElementById("found");
  const hits = document.getElementById("hits");
  const known = Object.keys(words);
  const titles = places.map(([, title]) => cut(title));

  // As the index was cut: letters and digits, lower case, without accents.
  function cut(text) {
    return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().match(/[\p{L}\p{N}]+/gu) || [];
  }

  // How well each place fits one word: whole before begun, title before the rest. One letter, as the O of O-ring,
  // begins too many words to mean them.
  function fits(word) {
    const scores = new Map();
    for (const other of known.filter((one) => one === word || (word.length > 1 && one.startsWith(word)))) {
      let place = 0;
      for (const distance of words[other]) {
        place += distance;
        const score = (titles[place].includes(other) ? 4 : 1) + (other === word ? 2 : 0);
        scores.set(place, Math.max(score, scores.get(place) || 0));
      }
    }
    return scores;
  }

  // Numbers of the places that hold every word, the best first, those whose title is or begins with what was asked
  // before all; those as good as each other as they are listed.
  function search(wanted) {
    const every = wanted.map(fits);
    const phrase = ` ${wanted.join(" ")} `;
    const whole = (title) => (title.startsWith(phrase) ? 10 : title.includes(phrase) ? 5 : 0);
    return [...every[0].keys()]
      .filter((place) => every.every((scores) => scores.has(place)))
      .map((place) => [place, every.reduce((sum, scores) => sum + scores.get(place), 0)
        + whole(` ${titles[place].join(" ")} `)])
      .sort(([one, best], [other, better]) => better - best || one - other)
      .map(([place]) => place);
  }

  function told(name, values) {
    return found.dataset[name].replace(/\{(\w+)\}/g, (_, key) => values[key]);
  }

  function made(kind, name, text) {
    const element = document.createElement(kind);
    element.className = name;
    element.textContent = text;
    return element;
  }

  function hit(place) {
    const [kind, title, under, address] = places[place];
    const link = document.createElement("a");
    link.href = address;
    link.append(made("span", `kind ${kind}`, hits.dataset[kind]), made("strong", "", title));
    const item = document.createElement("li");
    item.append(link, made("p", "under", under));
    return item;
  }

  function answer() {
    const wanted = [...new Set(cut(asked.value))];
    if (wanted.length === 0) {
      found.textContent = "";
      hits.replaceChildren();
      return;
    }
    const places = search(wanted);
    const shown = places.slice(0, SHOWN);
    hits.replaceChildren(...shown.map(hit));
    if (places.length > SHOWN) {
      found.textContent = told("some", { n: places.length, shown: SHOWN });
    } else if (places.length > 0) {
      found.textContent = places.length === 1 ? told("one", {}) : told("many", { n: places.length });
    } else {
      const unknown = wanted.filter((word) => fits(word).size === 0);
      found.textContent = unknown.length ? told("unknown", { words: unknown.join(", ") }) : told("none", {});
    }
  }

  // The question stands in the address, so that a link, a reload or going back finds it again.
  function keep() {
    answer();
    history.replaceState(null, "", asked.value ? `#find=${encodeURIComponent(asked.value)}` : "#search");
  }

  function recall() {
    if (!location.hash.startsWith("#find=")) return;
    try {
      asked.value = decodeURIComponent(location.hash.slice("#find=".length));
    } catch {
      asked.value = "";
    }
    answer();
  }

  document.documentElement.classList.add("scripted");
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(() => { keep(); asked.focus(); }));
  asked.addEventListener("input", keep);
  window.addEventListener("hashchange", recall);
  recall();
}
