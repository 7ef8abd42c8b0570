"""
One shop for OR-Tools CP-SAT: reads a JSON model from standard input, writes one JSON answer to standard output.
The model: operations with alternatives; on a machine one at a time with setup between families (a circuit of optional arcs), in its
open times; setting up and running need people of a crew with a shift calendar; supplies; lags; release. It minimises the makespan
or the weighted tardiness. The clock of the limit is wall-clock or CPU time of this process, the making of the model within.
"""
import json
import sys
import threading
import time

from ortools.sat.python import cp_model


def main():
    data = json.load(sys.stdin)
    clock = time.process_time if data["clock"] == "cpu" else time.monotonic
    share = data["threads"] if data["clock"] == "cpu" else 1
    began_wall, began_cpu, began = time.monotonic(), time.process_time(), clock()
    model = cp_model.CpModel()
    horizon = data["horizon"]
    machines = [[] for _ in data["machines"]]
    crews = [[] for _ in data["crews"]]
    supplies = [[] for _ in data["supplies"]]
    begins, runs, ends, choices = [], [], [], []

    for o, operation in enumerate(data["operations"]):
        begin = model.new_int_var(operation["release"], horizon, f"begin{o}")
        plain = all(mode["prepare"] == 0 and data["machines"][mode["machine"]]["setups"] is None for mode in operation["modes"])
        run = begin if plain else model.new_int_var(operation["release"], horizon, f"run{o}")
        end = model.new_int_var(operation["release"], horizon, f"end{o}")
        hint = operation.get("hint")
        present = []
        for m, mode in enumerate(operation["modes"]):
            here = model.new_bool_var(f"on{o}_{m}") if len(operation["modes"]) > 1 else True
            present.append(here)
            prepare = mode["prepare"]
            setups = data["machines"][mode["machine"]]["setups"]
            length = prepare
            if setups is not None:
                length = model.new_int_var(prepare + min(map(min, setups)), prepare + max(map(max, setups)), f"prepare{o}_{m}")
            if not plain:
                ready = model.new_int_var(0, horizon, f"ready{o}_{m}")
                set_up = model.new_optional_interval_var(begin, length, ready, here, f"setup{o}_{m}")
                model.add(run >= ready).only_enforce_if(here)
                machines[mode["machine"]].append(("solid", set_up))
                if mode["prepareCrew"] is not None:
                    crews[mode["prepareCrew"]].append(set_up)
            working = model.new_optional_interval_var(run, mode["run"], end, here, f"work{o}_{m}")
            if data["machines"][mode["machine"]]["closed"]:
                machines[mode["machine"]].append(("solid", working))
            if mode["runCrew"] is not None:
                crews[mode["runCrew"]].append(working)
            for supply, amount in mode["draws"]:
                supplies[supply].append((working, amount))
            whole = working
            if not plain:
                held = model.new_int_var(0, horizon, f"held{o}_{m}")
                whole = model.new_optional_interval_var(begin, held, end, here, f"held{o}_{m}")
            machines[mode["machine"]].append(("whole", (whole, here, begin, end, length, prepare, mode["family"])))
            if hint is not None and len(operation["modes"]) > 1:
                model.add_hint(here, int(m == hint[0]))
        if len(present) > 1:
            model.add_exactly_one(present)
        if hint is not None:
            model.add_hint(begin, hint[1])
            if not plain:
                model.add_hint(run, hint[2])
        begins.append(begin)
        runs.append(run)
        ends.append(end)
        choices.append(present)

    for one, other, lag in data["links"]:
        model.add(begins[other] >= ends[one] + lag)

    for machine, uses in zip(data["machines"], machines):
        wholes = [use for kind, use in uses if kind == "whole"]
        model.add_no_overlap([whole[0] for whole in wholes])
        if machine["closed"]:
            closed = [model.new_fixed_size_interval_var(a, b - a, "closed") for a, b in machine["closed"]]
            model.add_no_overlap(closed + [use for kind, use in uses if kind == "solid"])
        setups = machine["setups"]
        if setups is None:
            continue
        # Node 0 is the machine before its first and after its last operation; an absent operation stands alone.
        arcs = []
        idle = model.new_bool_var("idle")
        arcs.append((0, 0, idle))
        for i, (_, here, begin, _, length, prepare, family) in enumerate(wholes):
            first = model.new_bool_var("first")
            arcs.append((0, i + 1, first))
            arcs.append((i + 1, 0, model.new_bool_var("last")))
            model.add(length == prepare + setups[machine["family"]][family]).only_enforce_if(first)
            if here is not True:
                arcs.append((i + 1, i + 1, here.negated()))
            for j, (_, _, before_begin, before_end, _, _, before_family) in enumerate(wholes):
                if i == j:
                    continue
                follows = model.new_bool_var("follows")
                arcs.append((j + 1, i + 1, follows))
                model.add(length == prepare + setups[before_family][family]).only_enforce_if(follows)
                model.add(begin >= before_end).only_enforce_if(follows)
            if here is True:
                model.add(idle == 0)
            else:
                model.add_implication(here, idle.negated())
        model.add_circuit(arcs)

    for crew, uses in zip(data["crews"], crews):
        away = [(model.new_fixed_size_interval_var(a, b - a, "away"), missing) for a, b, missing in crew["away"]]
        model.add_cumulative(uses + [a for a, _ in away], [1] * len(uses) + [missing for _, missing in away], crew["people"])
    for supply, uses in zip(data["supplies"], supplies):
        if uses:
            model.add_cumulative([use for use, _ in uses], [amount for _, amount in uses], supply)

    if data["objective"] == "makespan":
        makespan = model.new_int_var(0, horizon, "makespan")
        model.add_max_equality(makespan, ends)
        model.minimize(makespan)
    else:
        terms = []
        for order in data["orders"]:
            late = model.new_int_var(0, max(0, horizon - order["due"]), "late")
            for o in order["operations"]:
                model.add(late >= ends[o] - order["due"])
            terms.append(order["weight"] * late)
        model.minimize(sum(terms))

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = data["threads"]
    if len(data["operations"]) > 200 and data["objective"] == "tardiness":
        # Probing the arcs of the circuits took the whole of a short limit: no answer at all.
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
    solver.parameters.random_seed = data["seed"]
    ended = threading.Event()

    def watch():
        while not ended.wait(0.02):
            if (clock() - began) / share >= data["seconds"]:
                solver.stop_search()

    if data["clock"] == "wall":
        solver.parameters.max_time_in_seconds = max(0.01, data["seconds"] - (time.monotonic() - began_wall))
    watcher = threading.Thread(target=watch, daemon=True)
    if data["clock"] == "cpu":
        # A second guard in wall-clock seconds: the whole CPU allowance on one thread, thrice for a busy machine.
        solver.parameters.max_time_in_seconds = 3 * data["seconds"] * data["threads"]
        watcher.start()
    status = solver.solve(model)
    ended.set()
    answer = {
        "status": solver.status_name(status),
        "seconds": time.monotonic() - began_wall,
        "cpu": time.process_time() - began_cpu,
        "objective": None,
        "bound": None,
        "placed": None,
    }
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        answer["objective"] = round(solver.objective_value)
        answer["bound"] = solver.best_objective_bound
        answer["placed"] = [
            [
                next(m for m, here in enumerate(present) if here is True or solver.boolean_value(here)),
                solver.value(begin),
                solver.value(run),
                solver.value(end),
            ]
            for present, begin, run, end in zip(choices, begins, runs, ends)
        ]
    json.dump(answer, sys.stdout)


main()
