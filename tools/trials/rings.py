"""Which nodes of a graph can reach each other."""

from collections.abc import Iterable


def rings(size: int, edges: Iterable[tuple[int, int]]) -> list[int]:
    """For each of the nodes 0 to `size` the number of its ring; whatever a ring leads to has no greater number.

    Tarjan's strongly connected components (1972), without recursion.
    """
    following: list[list[int]] = [[] for _ in range(size)]
    for start, goal in edges:
        following[start].append(goal)
    ring = [-1] * size
    found: list[int] = [-1] * size
    low = [0] * size
    open_nodes: list[int] = []
    clock = rung = 0
    for root in range(size):
        if found[root] >= 0:
            continue
        found[root] = low[root] = clock
        clock += 1
        open_nodes.append(root)
        way = [(root, iter(following[root]))]
        while way:
            node, others = way[-1]
            other = next(others, None)
            if other is None:
                way.pop()
                if way:
                    before = way[-1][0]
                    low[before] = min(low[before], low[node])
                if low[node] == found[node]:
                    while True:
                        member = open_nodes.pop()
                        ring[member] = rung
                        if member == node:
                            break
                    rung += 1
            elif found[other] < 0:
                found[other] = low[other] = clock
                clock += 1
                open_nodes.append(other)
                way.append((other, iter(following[other])))
            elif ring[other] < 0:
                low[node] = min(low[node], found[other])
    return ring
