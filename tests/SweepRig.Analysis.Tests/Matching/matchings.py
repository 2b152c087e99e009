"""Pairs tubes by NetworkX, which has a blossom algorithm of its own.

Reads lots, one a line: the number of tubes, then for each pair in turn its distance. Writes for each the least sum of distances and the least worst distance.
"""

import sys

import networkx as nx


def places(line):
    numbers = line.split()
    count = int(numbers[0])
    distances = iter(map(float, numbers[1:]))
    edges = [(i, j, next(distances)) for i in range(count) for j in range(i + 1, count)]
    if count % 2:
        edges += [(i, count, 0.0) for i in range(count)]
    return edges, count + count % 2


def least_sum(edges):
    most = 1 + max(d for _, _, d in edges)
    graph = nx.Graph()
    graph.add_weighted_edges_from((i, j, most - d) for i, j, d in edges)
    distance = {(min(i, j), max(i, j)): d for i, j, d in edges}
    return sum(distance[min(p), max(p)] for p in nx.max_weight_matching(graph, maxcardinality=True))


def least_worst(edges, count):
    steps = sorted({d for _, _, d in edges})
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high) // 2
        graph = nx.Graph((i, j) for i, j, d in edges if d <= steps[middle])
        if 2 * len(nx.max_weight_matching(graph, maxcardinality=True)) == count:
            high = middle
        else:
            low = middle + 1
    return steps[high]


for line in sys.stdin:
    edges, count = places(line)
    print(repr(least_sum(edges)), repr(least_worst(edges, count)), flush=True)
