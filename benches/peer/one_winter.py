"""General solvers on the heat of one winter of the demo pair, as `ONE_WINTER=DIR cargo bench --bench one_winter` writes it.

usage: python one_winter.py DIR [HOURS]     needs numpy scipy pyamg pypardiso

Backward Euler, an hour a step. Times are those of HOURS steps (168 unless told) carried on to the whole winter, and the difference is
that of the temperatures around the spheres from our own, in K. "films of every hour" is the whole problem; "films of the first hour" is
easier than it, since one factorisation serves the winter, and is a bound for what a direct solver could do.
"""
import sys
import time

import numpy as np
import scipy
import scipy.sparse as sp
import scipy.sparse.linalg as sla

DIR = sys.argv[1]
HOURS = int(sys.argv[2]) if len(sys.argv) > 2 else 168
STEP = 3600.0


def read(name):
    return np.fromfile(f"{DIR}/{name}", dtype="<f8")


capacity = read("capacity")
n = len(capacity)
faces = read("faces").reshape(-1, 4)
face_node, face_patch = faces[:, 0].astype(int), faces[:, 3].astype(int)
nodes = read("nodes").astype(int)
outside = read("outside")
whole = len(outside)
film_h, film_t = read("film_h").reshape(whole, -1), read("film_t").reshape(whole, -1)
exchange = read("exchange").reshape(whole, -1)
spheres = read("spheres").reshape(-1, n)
inside = sp.csr_matrix((read("value"), (read("row").astype(int), read("column").astype(int))), shape=(n, n))
inside = (0.5 * (inside + inside.T)).tocsr()
power = 10.0 * spheres.sum(axis=0)
ours = read("euler").reshape(whole, -1)


def hour(i):
    """What the outside adds to the diagonal and to the right-hand side."""
    u = faces[:, 1] / (faces[:, 2] + 1.0 / film_h[i][face_patch])
    diagonal = np.bincount(face_node, u, n) + np.bincount(nodes, exchange[i], n)
    right = np.bincount(face_node, u * film_t[i][face_patch], n) + np.bincount(nodes, exchange[i] * outside[i], n)
    return diagonal, right


def matrix(diagonal):
    return (inside + sp.diags(capacity / STEP + diagonal)).tocsr()


def winter(name, prepare, every_hour):
    t = read("first")
    worst, setup, steps = 0.0, 0.0, 0.0
    start = time.perf_counter()
    first, _ = hour(0)
    solve = prepare(matrix(first))
    setup = time.perf_counter() - start
    for i in range(HOURS):
        start = time.perf_counter()
        diagonal, right = hour(i)
        right += power + capacity / STEP * t
        t = solve(diagonal, right, t)
        steps += time.perf_counter() - start
        worst = max(worst, np.abs(spheres @ t - ours[i]).max())
    films = "films of every hour" if every_hour else "films of the first hour"
    total = setup + steps / HOURS * whole
    print(f"{name:42s} {films:24s} {1e3 * steps / HOURS:8.2f} ms/step {total:9.1f} s a winter   off by {worst:.1e} K", flush=True)


def splu(options, every_hour):
    def prepare(a):
        held = [sla.splu(a.tocsc(), **options)]

        def solve(diagonal, right, _):
            if every_hour:
                held[0] = sla.splu(matrix(diagonal).tocsc(), **options)
            return held[0].solve(right)

        return solve

    return prepare


def cg(preconditioner):
    def prepare(a):
        fixed = preconditioner(a)

        def solve(diagonal, right, t):
            now = matrix(diagonal)
            m = fixed if fixed is not None else sla.LinearOperator(now.shape, lambda v, d=1.0 / now.diagonal(): d * v)
            x, info = sla.cg(now, right, x0=t, rtol=1e-8, M=m)
            assert info == 0
            return x

        return solve

    return prepare


def by_lu(a):
    """The factors of the first hour as a preconditioner for all others."""
    lu = sla.splu(a.tocsc(), **MMD)
    return sla.LinearOperator(a.shape, lu.solve)


def by_multigrid(a):
    import pyamg

    return pyamg.smoothed_aggregation_solver(a).aspreconditioner()


def pardiso(every_hour):
    def prepare(a):
        import pypardiso

        solver = pypardiso.PyPardisoSolver(mtype=2)
        upper = [sp.triu(a, format="csr")]
        solver.factorize(upper[0])

        def solve(diagonal, right, _):
            if every_hour:
                upper[0] = sp.triu(matrix(diagonal), format="csr")
                solver.set_phase(23)
            else:
                solver.set_phase(33)
            return solver._call_pardiso(upper[0], right.reshape(-1, 1)).ravel()

        return solve

    return prepare


MMD = {"permc_spec": "MMD_AT_PLUS_A", "diag_pivot_thresh": 0.0, "options": {"SymmetricMode": True}}
PEERS = [
    ("scipy splu, MMD ordering", splu(MMD, True), True),
    ("scipy splu, MMD ordering", splu(MMD, False), False),
    ("scipy cg, Jacobi", cg(lambda a: None), True),
    ("scipy cg, first hour's splu", cg(by_lu), True),
    ("scipy cg, pyamg smoothed aggregation", cg(by_multigrid), True),
    ("MKL pardiso", pardiso(True), True),
    ("MKL pardiso", pardiso(False), False),
]

print(f"{n} unknowns, {whole} hours; scipy {scipy.__version__}, numpy {np.__version__}")
for name, prepare, every_hour in PEERS:
    try:
        winter(name, prepare, every_hour)
    except ImportError as missing:
        print(f"{name}: left out, {missing}")
