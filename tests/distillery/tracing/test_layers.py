"""The picture's layout: columns by stage, fewer crossings, nothing on top of another."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from distillery.tracing.layers import HEIGHT, LAYERS, lay_out, line

STAGES = [stage for stage, _ in LAYERS]
GRAPHS = st.lists(st.sampled_from(STAGES), min_size=1, max_size=25).flatmap(
    lambda stages: st.tuples(
        st.just(dict(enumerate(stages))),
        st.lists(st.tuples(*[st.integers(0, len(stages) - 1)] * 2), max_size=40),
    )
)


def crossings(layout, links):
    spots = layout.spots
    straight = [
        (spots[one], spots[other]) for one, other in links
        if spots[other].column == spots[one].column + 1
    ]  # fmt: skip
    return sum(
        a.column == b.column and (a.top - b.top) * (to_a.top - to_b.top) < 0
        for (a, to_a), (b, to_b) in combinations(straight, 2)
    )


@given(GRAPHS)
def test_every_node_has_a_place_of_its_own_inside_the_picture(graph):
    stages, links = graph
    layout = lay_out(stages, links)
    assert layout.spots.keys() == stages.keys()
    for one, other in combinations(layout.spots.values(), 2):
        assert one.column != other.column or abs(one.top - other.top) >= HEIGHT
    assert all(0 <= spot.top <= layout.height - HEIGHT for spot in layout.spots.values())
    order = [STAGES.index(stages[key]) for key in stages]
    columns = [layout.spots[key].column for key in stages]
    both = list(zip(order, columns, strict=True))
    assert all((a < b) == (x < y) for (a, x), (b, y) in combinations(both, 2))
    for one, other in links:
        assert line(layout.spots[one], layout.spots[other], layout.height).startswith("M")


def test_lines_that_would_cross_are_untangled():
    stages = {f"m{n}": "material" for n in range(4)} | {f"w{n}": "wash" for n in range(4)}
    links = [(f"m{n}", f"w{3 - n}") for n in range(4)]
    assert crossings(lay_out(stages, links), links) == 0
