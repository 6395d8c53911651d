# SPDX-License-Identifier: GPL-3.0-or-later
"""A job as a netlist for ngspice: the circuit element by element, heat and mechanics by their electrical analogues.

Reads the job's JSON by itself and shares no code with the program. Equations: docs/model.md sections 1 to 4.

    heat        temperature in °C = voltage, J/K = farad, K/W = ohm, heat = current
    mechanics   speed = voltage, inertia = farad, torque = current; angle = voltage of a 1 F capacitor fed by the speed
"""
import dataclasses
import math

COPPER_A20 = 0.00393  # 1/K, IEC 60028 (docs/model.md equation 1.1)
TAKEUP_RAMP = 0.01  # rad over which the load comes on at the take-up's end
STOP_RAMP = 1e-6  # m over which the bump stop comes on
RATCHET = 100.0  # N·m·s, holds a rotor that would turn backwards: it creeps by less than 1 mrad/s
LATCH = 1e5  # V/s of the "stopped" latch per rad/s backwards: full within a millisecond
BLOCK_OHM = 1e7  # against a reverse current


def copper(reference_C, at_C):
    return (1 + COPPER_A20 * (at_C - 20)) / (1 + COPPER_A20 * (reference_C - 20))


@dataclasses.dataclass
class Study:
    """What is simulated: a job under one condition. SI, °C."""

    job: dict
    voltage: float
    ambient_C: float
    after_trip: bool = False

    def part(self, ident):
        return next(part for part in self.job["parts"] if part["id"] == ident)

    def door(self, k):
        return self.job["doors"][k]

    def actuator(self, k):
        return self.part(self.door(k)["actuator"])

    def doors(self):
        return range(len(self.job["doors"]))

    def ptc_25_ohm(self, k):
        ptc = self.actuator(k)["ptc"]
        return ptc["resistance_ohm"] * (ptc.get("after_trip_ratio", 1) if self.after_trip else 1)

    def winding_ohm(self, k, winding_C):
        return self.actuator(k)["motor"]["resistance_ohm"] * copper(25, winding_C)

    def hottest_coil(self, k, winding_C, core_C):
        thermal = self.actuator(k)["thermal"]
        return core_C + 3 * thermal.get("hot_coil_share", 1 / 3) * (winding_C - core_C)


def pchip_pieces(xs, ys):
    """Cubics of the monotone Hermite curve (docs/model.md equation 1.5): per interval (x0, c0, c1, c2, c3)."""
    h = [b - a for a, b in zip(xs, xs[1:])]
    secant = [(b - a) / step for a, b, step in zip(ys, ys[1:], h)]
    slope = [secant[0]]
    for before, after, d0, d1 in zip(h, h[1:], secant, secant[1:]):
        w1, w2 = 2 * after + before, after + 2 * before
        slope.append((w1 + w2) / (w1 / d0 + w2 / d1) if d0 * d1 > 0 else 0.0)
    slope.append(secant[-1])
    pieces = []
    for k, step in enumerate(h):
        m0, m1, d = slope[k], slope[k + 1], secant[k]
        pieces.append((xs[k], ys[k], m0, (3 * d - 2 * m0 - m1) / step, (m0 + m1 - 2 * d) / step**2))
    return pieces


def curve_expression(v, xs, ys):
    """The curve as nested choices between its cubics, ends held: no table, so no interpolation error."""
    branches = [(None, repr(ys[0]))]
    for x0, c0, c1, c2, c3 in pchip_pieces(xs, ys):
        u = f"({v}-({x0!r}))"
        branches.append((x0, f"(({c0!r})+{u}*(({c1!r})+{u}*(({c2!r})+{u}*({c3!r}))))"))
    branches.append((xs[-1], repr(ys[-1])))

    def pick(some):
        half = len(some) // 2
        return f"({v}<({some[half][0]!r}) ? {pick(some[:half])} : {pick(some[half:])})" if half else f"({some[0][1]})"

    return pick(branches)


class Netlist:
    """Lines of a netlist; an element of zero ohm joins its nodes (ngspice would put 1 mohm there)."""

    def __init__(self, title):
        self.lines = [f"* {title}"]
        self.vectors = {}
        self.count = 0

    def add(self, line):
        while len(line) > 200:  # ngspice reads long lines, people do not
            cut = max(line.rfind(sign, 1, 200) for sign in "*?:")
            self.lines.append(line[:cut])
            line = "+" + line[cut:]
        self.lines.append(line)

    def new_node(self):
        self.count += 1
        return f"n{self.count}"

    def chain(self, start, *elements):
        """Resistors in series from `start`; returns the node at their other end."""
        for name, ohm in elements:
            if ohm:
                end = self.new_node()
                self.add(f"R{name} {start} {end} {ohm!r}")
                start = end
        return start

    def behavioural(self, name, plus, minus, what):
        self.add(f"B{name} {plus} {minus} {what}")

    def store(self, name, node, capacity, start):
        self.add(f"C{name} {node} 0 {capacity!r} IC={start!r}")

    def text(self, step_s, stop_s, largest_step_s, path):
        saved = " ".join(dict.fromkeys(self.vectors.values()))
        # Gear's method: trapezoids ring where the ratchet catches a rotor, until the step is too small.
        return "\n".join([
            *self.lines,
            ".options reltol=1e-6 abstol=1e-8 vntol=1e-7 chgtol=1e-12 trtol=1 method=gear maxord=2",
            ".control",
            "set wr_singlescale",
            "set wr_vecnames",
            "set numdgt=12",
            f"save {saved}",
            f"tran {step_s!r} {stop_s!r} 0 {largest_step_s!r} uic",
            f"wrdata {path} {saved}",
            "quit",
            ".endc",
            ".end",
            "",
        ])


def add_supply(net, study):
    """Battery to node, and the ground path. Returns the node behind the relay and the car body."""
    job, feed = study.job, study.job["feed"]
    wire = study.part(feed["wire"])["mohm_per_m"] * 1e-3 * feed["length_m"] * copper(20, study.ambient_C)
    contact = study.part(feed["relay"])["contact_mohm"] * 1e-3
    net.add(f"Vbattery pole 0 DC {float(study.voltage)!r}")
    body = "body" if feed["ground_mohm"] else "0"
    if feed["ground_mohm"]:
        net.add(f"Rground body 0 {feed['ground_mohm'] * 1e-3!r}")
    tap = net.chain("pole", ("internal", job["supply"]["internal_mohm"] * 1e-3),
                    ("main_fuse", study.part(feed["fuse"])["cold_mohm"] * 1e-3), ("feed", wire))
    if feed.get("other_load_A"):
        net.add(f"Iother {tap} {body} DC {float(feed['other_load_A'])!r}")
    return net.chain(tap, ("contact_1", contact), ("contact_2", contact)), body


def add_branch(net, study, k, node, body, moving):
    """One door from node to body: fuse, wire, joints, thermistor, motor, wire back."""
    door, motor, ptc = study.door(k), study.actuator(k)["motor"], study.actuator(k)["ptc"]
    wire = study.part(door["wire"])["mohm_per_m"] * 1e-3 * door["branch_length_m"] * copper(20, study.ambient_C)
    fuse = study.part(door["fuse"])["cold_mohm"] * 1e-3 if door.get("fuse") else 0
    at = net.chain(node, (f"fuse{k}", fuse), (f"out{k}", wire), (f"joints{k}", door["joints_mohm"] * 1e-3))
    current = f"i(Vsense{k})"
    curve = ptc["curve"]
    log_ratio = curve_expression(f"v(tp{k})", curve["T_C"], [math.log(ratio) for ratio in curve["ratio"]])
    net.behavioural(f"curve{k}", f"g{k}", "0", f"V={log_ratio}")
    net.behavioural(f"ptc{k}", at, f"m{k}", f"V={study.ptc_25_ohm(k)!r}*exp(v(g{k}))*{current}")
    winding = f"{motor['resistance_ohm'] / copper(20, 25)!r}*(1+{COPPER_A20!r}*(v(tw{k})-20))"
    net.behavioural(f"winding{k}", f"m{k}", f"c{k}", f"V={winding}*{current}")
    if moving:
        net.add(f"Lmotor{k} c{k} s{k} {motor['inductance_mH'] * 1e-3!r} IC=0")
        emf = f"{torque_constant(motor, k)}*v(w{k})"
    else:
        net.add(f"Vcoil{k} c{k} s{k} DC 0")  # held from the start: the inductance plays no part (section 5)
        emf = "0"
    net.add(f"Vsense{k} s{k} e{k} DC 0")
    back = net.chain(body, (f"back{k}", wire))
    net.behavioural(f"motor{k}", f"e{k}", back,
                    f"V={motor['brush_drop_V']!r}+{emf}-{BLOCK_OHM!r}*uramp(-{current})")
    net.vectors["current", k] = f"vsense{k}#branch"
    net.vectors["log_ratio", k] = f"v(g{k})"
    return winding


def torque_constant(motor, k):
    constant, drift = motor["torque_constant_mNm_per_A"] * 1e-3, motor["magnet_drift_per_K"]
    return f"{constant!r}*(1+({drift!r})*(v(tc{k})-25))"


def add_heat(net, study, k, winding, moving):
    """Section 4. Friction terms only while moving."""
    actuator = study.actuator(k)
    thermal, ptc, motor = actuator["thermal"], actuator["ptc"], actuator["motor"]
    start = float(study.ambient_C)
    current = f"i(Vsense{k})"
    split = "copper_J_per_K" in thermal
    core = f"tk{k}" if split else f"tw{k}"
    if split:
        net.store(f"copper{k}", f"tw{k}", float(thermal["copper_J_per_K"]), start)
        net.store(f"core{k}", core, thermal["winding_J_per_K"] - thermal["copper_J_per_K"], start)
        net.add(f"Rcopper{k} tw{k} {core} {thermal['copper_to_core_K_per_W']!r}")
    else:
        net.store(f"winding{k}", f"tw{k}", float(thermal["winding_J_per_K"]), start)
    net.store(f"case{k}", f"tc{k}", float(thermal["case_J_per_K"]), start)
    net.store(f"ptc{k}", f"tp{k}", float(ptc["heat_J_per_K"]), start)
    net.store(f"housing{k}", f"th{k}", float(thermal["housing_J_per_K"]), start)
    net.add(f"Rwc{k} {core} tc{k} {thermal['winding_to_case_K_per_W']!r}")
    net.add(f"Rch{k} tc{k} th{k} {thermal['case_to_housing_K_per_W']!r}")
    net.add(f"Rha{k} th{k} air {thermal['housing_to_ambient_K_per_W']!r}")
    net.add(f"Rph{k} tp{k} th{k} {1e3 / ptc['to_housing_mW_per_K']!r}")
    if ptc["to_case_mW_per_K"]:
        net.add(f"Rpc{k} tp{k} tc{k} {1e3 / ptc['to_case_mW_per_K']!r}")
    net.behavioural(f"heat_w{k}", "0", f"tw{k}", f"I={winding}*{current}^2")
    net.behavioural(f"heat_p{k}", "0", f"tp{k}", f"I={study.ptc_25_ohm(k)!r}*exp(v(g{k}))*{current}^2")
    bearings = f"+(v(f{k})+{motor['viscous_uNms'] * 1e-6!r}*v(w{k}))*uramp(v(w{k}))" if moving else ""
    net.behavioural(f"heat_c{k}", "0", f"tc{k}", f"I={motor['brush_drop_V']!r}*uramp({current}){bearings}")
    for name, node in (("winding", f"tw{k}"), ("core", core), ("case", f"tc{k}"), ("ptc", f"tp{k}"),
                       ("housing", f"th{k}")):
        net.vectors[name, k] = f"v({node})"


def rod_force_expression(study, k, place):
    """F(x) of a lock throw, the cold multiplier included; section 3."""
    door, force = study.door(k), study.door(k)["rod_force"]
    cold_C = study.job["climate"]["cold_C"]
    share = min(max((23 - study.ambient_C) / (23 - cold_C), 0), 1) if cold_C < 23 else 0
    cold = 1 + (force.get("cold_factor", 1) - 1) * share
    if force["shape"] == "steady":
        return repr(force["peak_N"] * cold)
    if force["shape"] == "over_centre":
        stroke = door["stroke_mm"] * 1e-3
        held = f"min(max({place},0),{stroke!r})"
        swing = (force["peak_N"] - force["friction_N"]) * cold
        return f"{force['friction_N'] * cold!r}+({swing!r})*sin({2 * math.pi / stroke!r}*{held})"
    # ngspice goes on in a straight line beyond the ends of a pwl: a flat piece holds them.
    points = [(x * 1e-3, newton * cold) for x, newton in zip(force["x_mm"], force["N"])]
    points = [(-1.0, points[0][1]), *points, (points[-1][0] + 1, points[-1][1])]
    return f"pwl({place},{','.join(f'({x!r}),({newton!r})' for x, newton in points)})"


def add_mechanics(net, study, k):
    """Section 3. A ratchet against turning backwards makes "held" out of a constant friction: the rotor leaves it when
    the motor's torque exceeds friction and load. The bump stop is here because a door that has arrived goes on
    drawing current, which the other doors feel; a latch keeps a rotor that has come to rest in the stop there."""
    actuator, door = study.actuator(k), study.door(k)
    motor, drive = actuator["motor"], actuator["drive"]
    per_rad = drive["lead_mm"] * 1e-3 / (2 * math.pi * drive["gear_ratio"])
    takeup = 2 * math.pi * drive["takeup_turns"]
    stroke, eta = door["stroke_mm"] * 1e-3, drive["efficiency"]
    w, place = f"v(w{k})", f"v(x{k})"
    net.store(f"rotor{k}", f"w{k}", motor["inertia_gcm2"] * 1e-7, 0.0)
    net.store(f"angle{k}", f"a{k}", 1.0, 0.0)
    net.behavioural(f"angle{k}", "0", f"a{k}", f"I=uramp({w})")
    net.behavioural(f"rod{k}", f"x{k}", "0", f"V={per_rad!r}*(v(a{k})-{takeup!r})")
    net.behavioural(f"friction{k}", f"f{k}", "0",
                    f"V={motor['friction_mNm'] * 1e-3!r}*exp({motor['cold_stiffening_per_K']!r}*uramp(25-v(th{k})))")
    taken_up = f"*min(max((v(a{k})-{takeup!r})/{TAKEUP_RAMP!r}+0.5,0),1)" if takeup else ""
    at_stop = f"min(max(({place}-{stroke!r})/{STOP_RAMP!r},0),1)"
    stop = (f"{at_stop}*uramp({drive['stop_stiffness_N_per_mm'] * 1e3!r}*({place}-{stroke!r})"
            f"+{drive['stop_damping_Ns_per_m'] * per_rad!r}*{w})")
    net.behavioural(f"force{k}", f"q{k}", "0", f"V=({rod_force_expression(study, k, place)}){taken_up}+{stop}")
    load = f"{per_rad!r}*(uramp(v(q{k}))*{1 / eta!r}-uramp(-v(q{k}))*{eta!r})"
    net.store(f"stopped{k}", f"z{k}", 1.0, 0.0)
    net.behavioural(f"stopped{k}", "0", f"z{k}", f"I={at_stop}*{LATCH!r}*uramp(-{w})*uramp(1-v(z{k}))")
    net.behavioural(f"torque{k}", "0", f"w{k}",
                    f"I={torque_constant(motor, k)}*i(Vsense{k})-v(f{k})-{load}+{RATCHET!r}*uramp(-{w})"
                    f"-{RATCHET!r}*v(z{k})*uramp({w})")
    if motor["viscous_uNms"]:
        net.add(f"Rviscous{k} w{k} 0 {1e6 / motor['viscous_uNms']!r}")
    loss = f"{per_rad!r}*(uramp(v(q{k}))*{1 / eta - 1!r}+uramp(-v(q{k}))*{1 - eta!r})"
    net.behavioural(f"heat_h{k}", "0", f"th{k}", f"I={loss}*uramp({w})")
    net.vectors["speed", k] = f"v(w{k})"
    net.vectors["rod", k] = f"v(x{k})"


def build(study, moving):
    """moving: a lock pulse from standstill; else every rod held with the voltage on. Vectors: (name, door)."""
    net = Netlist(study.job["title"])
    net.add(f"Vair air 0 DC {float(study.ambient_C)!r}")
    node, body = add_supply(net, study)
    for k in study.doors():
        winding = add_branch(net, study, k, node, body, moving)
        add_heat(net, study, k, winding, moving)
        if moving:
            add_mechanics(net, study, k)
    return net
