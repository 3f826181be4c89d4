"""Free orders are laid out so that no freedom is hidden and no order is lost."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.plan import Act, Frame
from proctool.render.devices import Devices, before_step, setting
from proctool.render.layout import lay_out
from proctool.render.order import Free, Tangled, ordered, pieces, reading_order
from tests.render import kw4


def closed(edges: set[tuple[int, int]], count: int) -> tuple[int, ...]:
    """Masks of all predecessors."""
    graph: nx.DiGraph = nx.DiGraph(edges)
    graph.add_nodes_from(range(count))
    return tuple(sum(1 << a for a in nx.ancestors(graph, b)) for b in range(count))


@st.composite
def frames(draw, most: int = 7, acts: st.SearchStrategy | None = None) -> Frame:
    count = draw(st.integers(1, most))
    ranks = draw(st.permutations(range(count)))  # the file's order need not be one that the graph allows
    edges = {
        (a, b) for a in range(count) for b in range(count) if ranks[a] < ranks[b] and draw(st.booleans())
    }
    steps = tuple(
        kw4.do(f"step-{i}", f"Do {i}.", *(draw(acts) if acts is not None else ())) for i in range(count)
    )
    return Frame(steps, closed(edges, count))


@given(frames())
def test_the_page_follows_an_order_that_the_graph_allows(frame: Frame):
    order = reading_order(frame)
    assert sorted(order) == list(range(len(frame.steps)))
    assert lay_out(frame, {}).order == order or sorted(lay_out(frame, {}).order) == sorted(order)
    done = 0
    for place in lay_out(frame, {}).order:
        assert not frame.before[place] & ~done
        done |= 1 << place


@given(frames())
def test_two_steps_are_called_free_exactly_when_they_are(frame: Frame):
    layout = lay_out(frame, {})
    said = set()
    for slot in layout.slots:
        said |= {frozenset({slot.place, other}) for other in slot.loose}
        for note in slot.notes:
            for n, track in enumerate(note.tracks):
                others = [i for t in note.tracks[n + 1 :] for i in t]
                said |= {frozenset({a, b}) for a in track for b in others}
    count = len(frame.steps)
    free = {frozenset({a, b}) for a in range(count) for b in range(a) if not ordered(frame, a, b)}
    assert said == free


def test_a_chain_has_no_free_piece():
    frame = kw4.chain(*(kw4.do(f"s{i}", "Do.") for i in range(4)))
    assert pieces(frame, range(4)) == (0, 1, 2, 3)


def test_two_tracks_between_two_cuts():
    frame = Frame(
        tuple(kw4.do(f"s{i}", "Do.") for i in range(6)),
        closed({(0, 1), (0, 3), (1, 2), (3, 4), (2, 5), (4, 5)}, 6),
    )
    assert pieces(frame, range(6)) == (0, Free(((1, 2), (3, 4))), 5)


def test_an_n_shape_is_tangled():
    frame = Frame(tuple(kw4.do(f"s{i}", "Do.") for i in range(4)), closed({(0, 2), (1, 2), (1, 3)}, 4))
    assert pieces(frame, range(4)) == (Tangled((0, 1, 2, 3)),)
    assert [slot.loose for slot in lay_out(frame, {}).slots] == [(1, 3), (0,), (3,), (0, 2)]


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["isolate", "connect", "throttle", "lock", "unlock"]), st.just("inlet_valve")
    ).map(lambda pair: kw4.act(*pair))
    | st.tuples(st.sampled_from(["vent", "shut"]), st.just("first_button")).map(lambda pair: kw4.act(*pair)),
    max_size=2,
)


@given(frames(most=5, acts=ACTS), st.data())
def test_devices_are_only_called_safe_where_every_order_makes_them_so(frame: Frame, data):
    place = data.draw(st.integers(0, len(frame.steps) - 1))
    parts = kw4.unit().parts
    one = frozenset({"inlet_valve"})
    start = data.draw(st.sampled_from([Devices(), Devices(one, one, frozenset({"first_button"}))]))
    graph: nx.DiGraph = nx.DiGraph(
        (a, b) for b in range(len(frame.steps)) for a in range(len(frame.steps)) if frame.before[b] >> a & 1
    )
    graph.add_nodes_from(range(len(frame.steps)))
    for order in nx.all_topological_sorts(graph):
        now = {"off": set(start.off), "locked": set(start.locked), "vented": set(start.vented)}
        for i in order[: order.index(place)]:
            for act in frame.steps[i].acts:
                what, so = setting(act, parts) or ("off", False)
                (now[what].add if so else now[what].discard)(act.part)
        told = before_step(frame, place, start, parts)
        assert told.off <= now["off"]
        assert told.locked <= now["locked"]
        assert told.vented <= now["vented"]


def test_a_lock_on_every_way_is_told():
    frame = kw4.frame()
    place = next(i for i, s in enumerate(frame.steps) if s.id == "open-up/second/unscrew-housing")
    told = before_step(frame, place, Devices(), kw4.unit().parts)
    assert told == Devices(
        frozenset({"inlet_valve", "pump_plug"}),
        frozenset({"inlet_valve", "pump_plug"}),
        frozenset({"first_button", "second_button"}),
    )
    assert Act("lock", "inlet_valve", kw4.AT) in frame.steps[2].acts
