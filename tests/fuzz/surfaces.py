"""Every way in which something from outside gets into proctool: what is fed in, and what must hold.

A surface is a function of bytes that fails where something does not hold. The bytes say what is made: mostly
damage to the files that come with proctool, for what is nearly right goes deepest.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from proctool.adaptable import AdaptError
from proctool.adapting import adapted
from proctool.kept.codec import DamagedError, decode, encode
from proctool.library import Library
from proctool.model.document import Kind
from proctool.model.duration import duration_fault
from proctool.model.quantity import Quantity, Range, compare, convert, parse, parse_range, show, show_range
from proctool.printing import shown
from proctool.render import prose
from proctool.render.html import page
from proctool.report import baseline
from proctool.results import Outcome
from proctool.source.answers import Answers, read_answers
from proctool.source.drawing import drawing_fault
from proctool.source.figures import Refused, looked_through
from proctool.source.yamltree import parse as parse_yaml
from proctool.tables import evaluate
from proctool.tables.expression import FormulaFault
from proctool.tables.formula import parse as parse_formula
from proctool.tables.given import Given
from proctool.tables.interval import Interval, NoNumber
from proctool.tabling import tabled_given
from tests.fuzz import strict
from tests.fuzz.bounds import FAULT_OF_OURS, placed
from tests.fuzz.choices import Choices
from tests.fuzz.mutations import HIDDEN, MARKUP, NUMBERS, TOKENS, WORDS, damaged, retold
from tests.fuzz.seeds import libraries, texts

_BUDGET = 300
"""Pairs of done steps and states that a proof may look at here."""


@dataclass(frozen=True, slots=True)
class Surface:
    """One way in."""

    what: str
    """What may come in there."""
    feed: Callable[[bytes], None]
    seconds: float
    """Most time of the processor that one input may take."""
    examples: int
    """How many inputs each run of the tests tries."""
    size: int = 400
    """Most bytes of one input."""


# ---------------------------------------------------------------------------- files


def _yaml(data: bytes) -> None:
    choices = Choices(data)
    content = damaged(choices.pick(texts()), choices) if choices.below(4) else choices.take(400)
    placed(parse_yaml("a.yaml", content)[1], {"a.yaml": content})


def _library(data: bytes) -> None:
    choices = Choices(data)
    files = {file: text.encode() for file, text in choices.pick(libraries()).items()}
    for _ in choices.times(2):
        file = choices.pick(sorted(files))
        files[file] = damaged(files[file].decode("utf-8", "replace"), choices) or b" "
    placed(Library(files).check(budget=_BUDGET).findings, files)


def _answers(data: bytes) -> None:
    choices = Choices(data)
    given = retold(_ANSWERS, choices).encode("utf-8", "surrogatepass")
    found = read_answers("answers.yaml", given)
    if not isinstance(found, Answers):
        assert found
        placed(found, {"answers.yaml": given})
        return
    library = Library.from_texts(libraries()[2] | {"units/kw-9.yaml": _KW9})
    try:
        made = adapted(library, "change-cartridges", "KW-9", answers=found.answers, budget=_BUDGET)
    except AdaptError as error:
        assert str(error)
        return
    root, faults = parse_yaml("draft.yaml", made.draft.text.encode())
    assert root is not None and not faults, faults


_ANSWERS = """\
adapt: change-cartridges
to: KW-9
answers:
  number: FP-1
  time: 20 min
  part first: first
  part second: second
  revision by: R. Imrie
  revision date: 2026-05-11
"""
_KW9 = "unit: KW-9\nbased_on: kw-base\ntitle: A skid of another make\nfamily: OTHER\n"


def _baseline(data: bytes) -> None:
    choices = Choices(data)
    known = baseline.Baseline("L", Counter([("energy/charged", "error", "a.yaml", "p", "u", "s", None, "m")]))
    found = baseline.read(retold(known.to_text(), choices, (*TOKENS, *_JSON)))
    if isinstance(found, str):
        assert found
        return
    assert found == baseline.read(found.to_text())
    found.to_text().encode()


_JSON = ("null", "1e999", '"\\ud800"', "[" * 5000, '{"a":' * 5000, "-1", "1.0", "true", '"count": ', "NaN")


@cache
def _outcome() -> str:
    case = next(Library.from_texts(libraries()[0]).cases(budget=_BUDGET))
    return encode(case.outcome).decode()


def _kept(data: bytes) -> None:
    try:
        decode(damaged_json(_outcome(), Choices(data)), Outcome)
    except DamagedError as error:
        assert str(error)


def damaged_json(text: str, choices: Choices) -> bytes:
    """A few changes in a long text, near one place."""
    at = choices.below(len(text))
    return (text[:at] + retold(text[at : at + 80], choices, (*TOKENS, *_JSON)) + text[at + 80 :]).encode(
        "utf-8", "surrogatepass"
    )


# ---------------------------------------------------------------------------- texts inside files

_FORMULA = (
    *("x", "y", "x-1", "part.tighten", "min(", "max(", "sqrt(", "exp(", "log(", "(", ")", "**", "*", "/", "+", "-"),
    *(",", "2", "0.5", "64", "1 bar", "25 %", "20 °C", "3 K", " ", "1/4 turn", "9" * 39, "0.000000001", "** 0.3"),
)


def _formula(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*_FORMULA, choices.text(6))) for _ in choices.times(40))
    formula = parse_formula(text, {"x", "y", "x-1", "part.tighten"})
    if isinstance(formula, FormulaFault):
        assert formula.message and 0 <= formula.at < formula.end
        return
    evaluate.dimension(formula, dict.fromkeys(formula.names, choices.pick(("pressure", "number", "temperature"))))
    low = choices.below(2000) - 1000
    box = dict.fromkeys(formula.names, Interval(Fraction(low), Fraction(low + choices.below(50))))
    try:
        evaluate.evaluate(formula, box)
        evaluate.bounds(formula, box)
    except NoNumber as error:
        raise AssertionError("left its stage") from error


def _table(data: bytes) -> None:
    choices = Choices(data)

    def said(*usual: str) -> str:
        text = choices.pick(usual)
        return retold(text, choices, (*NUMBERS, *WORDS, *_FORMULA)) if choices.below(3) == 2 else text

    given = Given(
        formula=said("inlet * (1 - limit)", "inlet ** 2 / 1 bar", "exp(inlet / 1 bar) * 1 bar"),
        answer="outlet",
        readings={"inlet": said("2.0 to 6.0 bar by 0.5 bar", "0 to 1 bar by 0.001 bar", "4 bar")},
        fixed={"limit": said("25 %", "0.001", "1000 %")},
        also=(said("1 psi", "0.001 mmHg"),) if choices.below(2) else (),
        round=said("up to 0.1 bar", "nearest 0.0000001 bar", "down to 1 psi", ""),
        due=said("", "or_less", "or_more"),
        safe_side=said("", "low", "inside"),
        least=said("", "1 bar"),
        most=said("", "9 bar"),
        title=said("", "A title"),
    )
    made = tabled_given(given)
    assert all(not FAULT_OF_OURS.search(finding.message) for finding in made.findings)
    made.to_json().encode()
    if made.sound:
        made.to_text().encode()
        made.to_csv().encode()


def _quantity(data: bytes) -> None:
    choices = Choices(data)
    whole = "".join(choices.pick((*_QUANTITY, choices.text(4))) for _ in choices.times(9))
    quantity, limits = parse(whole), parse_range(whole)
    assert duration_fault(whole) is None or duration_fault(whole)
    if isinstance(quantity, Quantity):
        assert compare(quantity, quantity) == 0
        show(quantity, ("psi", "bar", "°F", "K", "Pa", "lbf·ft", "mL"))
        convert(quantity, quantity.measure)
    if isinstance(limits, Range):
        show_range(limits, ("psi", "bar", "°F", "K", "µm"))
        assert limits.low is None or limits.holds(limits.low)
    assert quantity and limits


_QUANTITY = (
    *(*NUMBERS, " ", " to ", " or less", " or more", " by ", "-", "+", "/", "1 1/2", "4.0", "22", "to"),
    *("bar", "psi", "N·m", "Nm", "°C", "K", "%", "mm", "min", "months", "turn", "bar(a)", "ppm", "µm", "º", "\n"),
)

# ---------------------------------------------------------------------------- what becomes a page

_SPOT = "Unscrew the housing"


def _template(data: bytes) -> None:
    choices = Choices(data)
    text = retold("Unscrew the <part> with the <strap_wrench> at <part.name> now.", choices, _TEMPLATE)
    files = _with_text(text)
    placed(Library(files).check(budget=_BUDGET).findings, files)


_TEMPLATE = (
    *("<", ">", "<<", "\\<", "<part>", "<housing>", "<housing.tighten>", "<a.b.c>", "<.>", "<part.>", "< part>"),
    *("<strap_wrench>", "<unit>", "<fact>", "<by>", "<safe>", "<what>", "&lt;", "\\", "<" * 300, *HIDDEN, *WORDS),
)


def _markup(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*MARKUP, *WORDS[:46], choices.text(8))) for _ in choices.times(30))
    strict.prose(str(prose.block(text)))
    strict.prose(str(prose.inline(text)))


def _page(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*MARKUP, *WORDS[:40])) for _ in choices.times(12))
    library = Library(_with_text(text, title=choices.pick(WORDS[:40])))
    for case in library.cases(budget=_BUDGET):
        if case.plan is not None and case.proof is not None:
            strict.Outline(page(shown(case, draft=True), {})).within(_clean_page())


def _with_text(text: str, title: str = "") -> dict[str, bytes]:
    """The library of a beginner with one text of its procedure, and its title, put in the place of others."""
    files = dict(libraries()[0])
    body = parse_yaml("p.yaml", files["change-filter.yaml"].encode())[0]
    assert body is not None
    lines = files["change-filter.yaml"].split("\n")
    at = next(n for n, line in enumerate(lines) if line.strip().startswith("- do:"))
    indent = lines[at][: lines[at].index("-")]
    lines[at] = f"{indent}- do: {_quoted(text)}"
    if title:
        first = next(n for n, line in enumerate(lines) if line.startswith("title:"))
        lines[first] = f"title: {_quoted(title)}"
    return {file: data.encode() for file, data in (files | {"change-filter.yaml": "\n".join(lines)}).items()}


def _quoted(text: str) -> str:
    """A text in double quotes, whatever is in it."""
    signs = {'"': '\\"', "\\": "\\\\", "\n": "\\n"}
    plain = text.encode("utf-8", "replace").decode()
    return '"' + "".join(signs.get(c, c if c.isprintable() else f"\\U{ord(c):08X}") for c in plain) + '"'


@cache
def _clean_page() -> strict.Outline:
    """A page with all that markup may bring."""
    text = "a *b* **c** `d`\n\n- e\n\n  f\n\n7. g\n\n> i\n\n```j\nk\n```\n\n---\n\nl\\\nm"
    case = next(Library(_with_text(text)).cases(budget=_BUDGET))
    return strict.Outline(page(shown(case, draft=True), {}))


def _figure(data: bytes) -> None:
    choices = Choices(data)
    seed = choices.pick((_SVG, _RICH, ""))
    content = retold(seed, choices, (*_DRAWN, *HIDDEN, *NUMBERS)).encode("utf-8", "surrogatepass")
    content = choices.pick(_HEADS) + choices.take(60) if not seed else content
    fault = drawing_fault(content)
    assert fault is None or (fault.line >= 1 and fault.message)
    found = looked_through(content, "figures/a.svg")
    assert found == content or (isinstance(found, Refused) and found.why)
    if fault is None:
        strict.drawing(content)


_SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><g id="a"><path d="M0 0h9"/></g></svg>'
_RICH = (
    '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">'
    '<style>.a { fill: url(#b) }</style><defs><linearGradient id="b"/></defs>'
    '<use xlink:href="#c"/><g id="c" style="fill: red"><text>x</text></g></svg>'
)
_DRAWN = (
    *("<script>a()</script>", ' onload="a()"', ' href="http://x/"', ' href="javascript:a()"', "url(http://x)", "@import"),
    *('<!DOCTYPE svg [<!ENTITY a "b">]>', "<!ENTITY", "&a;", "<?xml-stylesheet href='x'?>", "<![CDATA[", "]]>", "<a>"),
    *("<foreignObject>", "<animate/>", "<set/>", '<use href="#a"/>', "<image href='data:image/svg+xml,x'/>", "<g>" * 70),
    *('<?xml version="1.0" encoding="utf-16"?>', ' xml:base="http://x"', "\\75rl(x)", 'style="a:url( x )"', "xmlns:", "/"),
    *("<image href='data:image/png;base64,AA'/>", "SCRIPT", "href", "style", "use", "#a", "svg", "=", '"', "<", ">", "&"),
)
_HEADS = (
    *(b"\x89PNG\r\n\x1a\n", b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", b"GIF89a", b"GIF87a\xff\xff\xff\xff", b"RIFF"),
    *(b"RIFF\x10\x00\x00\x00WEBPVP8 ", b"\xff\xd8\xff\xe0\x00\x10JFIF", b"\xff\xd8\xff\xda", b"<svg", b"\xff\xfe<\0s\0"),
)


def _names(data: bytes) -> None:
    choices = Choices(data)
    files = dict(libraries()[0])
    for file, old in (("units/filter-1.yaml", "unit:"), ("change-filter.yaml", "procedure:"), ("library.yaml", "library:")):
        name = _quoted(choices.pick((*WORDS, *HIDDEN, "A", choices.text(9), "A" * 64, "A" * 65)))
        lines = files[file].split("\n")
        at = next(n for n, line in enumerate(lines) if line.startswith(old))
        lines[at] = f"{old} {name}"
        files[file] = "\n".join(lines)
    given = {file: text.encode() for file, text in files.items()}
    library = Library(given)
    placed(library.check(budget=_BUDGET).findings, given)
    for kind in (Kind.UNIT, Kind.PROCEDURE):
        for name in library.of_kind(kind):
            assert name.isascii() and len(name) <= 64 and all(sign.isalnum() or sign in "-_" for sign in name)
            assert name.upper() not in _DEVICES, name
    assert library.name is None or library.name.isprintable()


_DEVICES = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))}

SURFACES: dict[str, Surface] = {
    "yaml": Surface("the bytes of a library file", _yaml, 3, 120),
    "library": Surface("whole libraries, checked", _library, 10, 40),
    "formula": Surface("formulas of tables", _formula, 3, 200),
    "table": Surface("tables given on the command line", _table, 5, 40),
    "template": Surface("texts with <names> in them", _template, 5, 40),
    "quantity": Surface("quantities, ranges and durations", _quantity, 1, 200),
    "figure": Surface("drawings and pictures", _figure, 2, 150),
    "baseline": Surface("baseline files", _baseline, 2, 100),
    "answers": Surface("answers files of `adapt`", _answers, 10, 20),
    "markup": Surface("CommonMark into HTML", _markup, 2, 100),
    "page": Surface("whole pages made of hostile texts", _page, 10, 10),
    "names": Surface("names that become names of files", _names, 5, 40),
    "kept": Surface("results of earlier runs", _kept, 2, 100),
}
"""Every surface by the name that `python -m tests.fuzz` takes."""
