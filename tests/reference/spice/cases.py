# SPDX-License-Identifier: GPL-3.0-or-later
"""The jobs of the comparison: those of tests/reference/cases, some of them changed. All data are invented."""
import copy
import dataclasses
import json
import pathlib

FOLDER = pathlib.Path(__file__).resolve().parents[1] / "cases"


@dataclasses.dataclass
class Case:
    name: str
    job: dict
    voltage: float
    ambient_C: float
    after_trip: bool = False


def load(name):
    return json.loads((FOLDER / f"{name}.job.json").read_text(encoding="utf-8"))


def part(job, ident):
    return next(part for part in job["parts"] if part["id"] == ident)


def weak_supply():
    job = load("worked")
    job["supply"]["internal_mohm"] = 180
    return job


def long_wires():
    job = load("worked")
    job["feed"].update(length_m=8.5, ground_mohm=14)
    job["doors"][0].update(branch_length_m=6.5, joints_mohm=35, fuse="fuse-door")
    return job


def touching_load():
    """Twice the friction as peak: the load comes down to zero at three quarters of the travel and rises again."""
    job = load("worked")
    job["doors"][0]["rod_force"] = {"shape": "over_centre", "friction_N": 9, "peak_N": 18}
    return job


def three_unlike_doors():
    """Another motor, gear, thermistor, length, stroke and load in each; one armature with copper and core apart."""
    job = load("worked")
    small, strong = copy.deepcopy(part(job, "act-a")), copy.deepcopy(part(job, "act-a"))
    small.update(id="act-small")
    small["motor"].update(resistance_ohm=3.4, inductance_mH=2.1, torque_constant_mNm_per_A=12.5, brush_drop_V=0.6,
                          friction_mNm=1.1, inertia_gcm2=6.5)
    small["drive"].update(gear_ratio=10, lead_mm=14, takeup_turns=0.7, efficiency=0.42)
    small["thermal"].update(winding_J_per_K=7, case_J_per_K=16)
    small["ptc"].update(resistance_ohm=0.8, heat_J_per_K=0.4, to_housing_mW_per_K=14)
    strong.update(id="act-strong")
    strong["motor"].update(resistance_ohm=1.2, inductance_mH=0.8, torque_constant_mNm_per_A=8.2, brush_drop_V=1.0,
                           friction_mNm=2.2, viscous_uNms=0.6, inertia_gcm2=21)
    strong["drive"].update(gear_ratio=11, lead_mm=18, takeup_turns=1.8, efficiency=0.6)
    strong["thermal"].update(copper_J_per_K=4.2, copper_to_core_K_per_W=1.4, hot_coil_share=0.5)
    strong["ptc"].update(resistance_ohm=0.22, heat_J_per_K=1.1, to_housing_mW_per_K=26)
    job["parts"] += [small, strong]
    job["feed"]["other_load_A"] = 3
    door = job["doors"][0]
    job["doors"] += [
        dict(door, name="rear left", actuator="act-small", branch_length_m=4.4, stroke_mm=15,
             rod_force={"shape": "over_centre", "friction_N": 6, "peak_N": 19}),
        dict(door, name="tailgate", actuator="act-strong", branch_length_m=6.8, joints_mohm=22, fuse="fuse-door",
             rod_force={"shape": "table", "x_mm": [0, 4, 8, 13, 18], "N": [15, 38, 24, -9, 6]}),
    ]
    return job


def all_cases():
    return [
        Case("worked case, cold", load("worked"), 12.6, -20),
        Case("worked case, usual", load("worked"), 12.6, 23),
        Case("worked case, hot", load("worked"), 13.8, 75),
        Case("weak supply", weak_supply(), 9.5, 23),
        Case("long wires, own fuse", long_wires(), 12.6, 60),
        Case("three unlike doors", three_unlike_doors(), 12.6, 23),
        Case("three unlike doors, charging, hot", three_unlike_doors(), 14.4, 60),
        Case("five doors", load("five_doors"), 12.6, 23),
        Case("over-centre load, cold, other load", load("cold_over_centre"), 12.6, -20),
        Case("over-centre load that touches zero", touching_load(), 12.6, 23),
        Case("table load", load("unlock_table"), 12.6, 5),
        Case("load that overruns the motor", load("helping_load"), 12.6, 23),
        Case("copper and core", load("copper_core"), 13.8, 40),
        Case("ceramic thermistor", load("ceramic"), 12.6, 23),
        Case("after a first trip", load("after_trip"), 12.6, 23, after_trip=True),
        Case("large inductance", load("large_inductance"), 12.6, 23),
        Case("no trip: the winding limits", load("winding_limited"), 12.6, 23),
        Case("rod never moves", load("never_moves"), 12.6, 23),
        Case("door halts and starts again", load("weak_battery"), 9.0, -20),
        Case("supply below one brush drop", load("below_brush_drop"), 4.0, 23),
        Case("everything zero that may be", load("zeros"), 12.6, 23),
    ]


# What the netlist reads, by record.
DATA = {
    "motor": ("resistance_ohm", "inductance_mH", "torque_constant_mNm_per_A", "brush_drop_V", "friction_mNm",
              "viscous_uNms", "inertia_gcm2", "magnet_drift_per_K", "cold_stiffening_per_K"),
    "drive": ("gear_ratio", "lead_mm", "efficiency", "takeup_turns"),
    "thermal": ("winding_J_per_K", "case_J_per_K", "housing_J_per_K", "winding_to_case_K_per_W",
                "case_to_housing_K_per_W", "housing_to_ambient_K_per_W"),
    "ptc": ("resistance_ohm", "heat_J_per_K", "to_housing_mW_per_K", "to_case_mW_per_K"),
}


def scaled(find, key, factor):
    """A change of one number of a case."""

    def change(case):
        record = find(case.job)
        record[key] *= factor

    return change


def changes():
    """Cases and named changes of their data, each of which a comparison must see."""
    job = load("worked")
    job["feed"]["other_load_A"] = 2
    job["doors"][0].update(fuse="fuse-door", rod_force={"shape": "over_centre", "friction_N": 9, "peak_N": 21,
                                                        "cold_factor": 1.6})
    part(job, "act-a")["motor"]["viscous_uNms"] = 1
    one = {}
    for record, keys in DATA.items():
        for key in keys:
            one[f"{record}/{key}"] = scaled(lambda job, record=record: part(job, "act-a")[record], key, 1.1)
    for name, find in {
        "supply/internal_mohm": lambda job: job["supply"],
        "feed/length_m": lambda job: job["feed"],
        "feed/ground_mohm": lambda job: job["feed"],
        "feed/other_load_A": lambda job: job["feed"],
        "feed fuse/cold_mohm": lambda job: part(job, "fuse-main"),
        "feed wire/mohm_per_m": lambda job: part(job, "wire-feed"),
        "relay/contact_mohm": lambda job: part(job, "relay"),
        "door/branch_length_m": lambda job: job["doors"][0],
        "door/joints_mohm": lambda job: job["doors"][0],
        "door/stroke_mm": lambda job: job["doors"][0],
        "door fuse/cold_mohm": lambda job: part(job, "fuse-door"),
        "door wire/mohm_per_m": lambda job: part(job, "wire-branch"),
        "rod_force/friction_N": lambda job: job["doors"][0]["rod_force"],
        "rod_force/peak_N": lambda job: job["doors"][0]["rod_force"],
        "rod_force/cold_factor": lambda job: job["doors"][0]["rod_force"],
    }.items():
        one[name] = scaled(find, name.split("/")[1], 1.1)
    for point in (3, 5, 6, 7):
        one[f"curve/{point}"] = scaled(lambda job: part(job, "act-a")["ptc"]["curve"]["ratio"], point, 1.05)

    def strong(record):
        return lambda job: part(job, "act-strong")[record]

    several = {
        "copper_J_per_K": scaled(strong("thermal"), "copper_J_per_K", 1.1),
        "copper_to_core_K_per_W": scaled(strong("thermal"), "copper_to_core_K_per_W", 1.1),
        "hot_coil_share": scaled(strong("thermal"), "hot_coil_share", 1.1),
        "table/N": scaled(lambda job: job["doors"][2]["rod_force"]["N"], 3, 1.5),
        "table/x_mm": scaled(lambda job: job["doors"][2]["rod_force"]["x_mm"], 2, 1.1),
        "stop_stiffness_N_per_mm": scaled(strong("drive"), "stop_stiffness_N_per_mm", 0.5),
        "stop_damping_Ns_per_m": scaled(strong("drive"), "stop_damping_Ns_per_m", 30),
        "other door's length": scaled(lambda job: job["doors"][0], "branch_length_m", 1.1),
    }
    return [(Case("one door", job, 12.6, -10), one),
            (Case("three unlike doors", three_unlike_doors(), 12.6, 23), several)]
