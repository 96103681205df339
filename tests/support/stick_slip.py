"""Integrates an axis that sticks and slips, and prints reference/published/stick_slip.csv.

    python3 tests/support/stick_slip.py > reference/published/stick_slip.csv

Needs SciPy (Debian: python3-scipy). The equations are those of simulate::run, with friction that
holds: a body that stands stays where it is while the force on it is at most its static limit. Each
stretch between two events is one call of solve_ivp, DOP853, whose event search ends it. The axis is
invented; tests/simulate/sticking.cpp builds the same.
"""

import math

from scipy.integrate import solve_ivp

# Motor, driver and supply of the first row of axis_step_loss.csv.
K, R, L, N, I, V = 0.212132034, 2.0, 3.2e-3, 50.0, 1.5, 24.0
GAIN = L / 5e-6
TRAVEL = 0.006366197724  # m/rad
J, DRAG = 5.8e-6, 1e-4
# A soft belt, a load that breaks away at twice what it slides with, iron that holds the rotor.
M, STIFFNESS, ZETA = 1.0, 30e3, 0.02
DAMPING = 2.0 * ZETA * math.sqrt(STIFFNESS * M)
STATIC, KINETIC, WEIGHT = 8.0, 4.0, 2.0
IRON = 0.01
# 1.5 mm at 5 mm/s and 0.1 m/s^2 without jerk times, then rest.
STROKE, SPEED, ACCELERATION, REST = 1.5e-3, 5e-3, 0.1, 0.05
RAMP = SPEED / ACCELERATION
CRUISE = STROKE / SPEED - RAMP
BREAKS = [0.0, RAMP, RAMP + CRUISE, 2 * RAMP + CRUISE, 2 * RAMP + CRUISE + REST]


def commanded(t):
    if t < BREAKS[1]:
        return 0.5 * ACCELERATION * t * t
    if t < BREAKS[2]:
        return 0.5 * SPEED * RAMP + SPEED * (t - RAMP)
    left = max(0.0, BREAKS[3] - t)
    return STROKE - 0.5 * ACCELERATION * left * left


def belt(y):
    return STIFFNESS * (TRAVEL * y[2] - y[4]) + DAMPING * (TRAVEL * y[3] - y[5])


def on_rotor(y):
    phi = N * y[2]
    field = K * (y[1] * math.cos(phi) - y[0] * math.sin(phi))
    return field - DRAG * y[3] - TRAVEL * belt(y)


def on_load(y):
    return belt(y) - WEIGHT


def rates(t, y, rotor, load):
    g = N / TRAVEL * commanded(t)
    u_a = max(-V, min(V, GAIN * (I * math.cos(g) - y[0])))
    u_b = max(-V, min(V, GAIN * (I * math.sin(g) - y[1])))
    phi = N * y[2]
    return [
        (u_a - R * y[0] + K * y[3] * math.sin(phi)) / L,
        (u_b - R * y[1] - K * y[3] * math.cos(phi)) / L,
        y[3],
        (on_rotor(y) - rotor * IRON) / J if rotor else 0.0,
        y[5],
        (on_load(y) - load * KINETIC) / M if load else 0.0,
    ]


def sign(x):
    return int(x > 0) - int(x < 0)


def main():
    amplitude = I * GAIN / (GAIN + R)
    theta = -math.asin(TRAVEL * WEIGHT / (K * amplitude)) / N
    y = [amplitude, 0.0, theta, 0.0, TRAVEL * theta - WEIGHT / STIFFNESS, 0.0]
    rotor = load = 0  # -1 and 1 slide that way, 0 sticks
    t = 0.0
    print("time_s,current_a_A,current_b_A,rotor_rad,rotor_speed_rad_s,load_m,load_speed_m_s")
    for start, end in zip(BREAKS, BREAKS[1:]):
        marks = [start + (end - start) * n / 20 for n in range(1, 21)]
        while t < end:
            # What ends this stretch: a body that stops, or one that is let go.
            rotor_event = (lambda t, y, r, l: y[3]) if rotor else (lambda t, y, r, l: abs(on_rotor(y)) - IRON)
            load_event = (lambda t, y, r, l: y[5]) if load else (lambda t, y, r, l: abs(on_load(y)) - STATIC)
            rotor_event.terminal = load_event.terminal = True
            rotor_event.direction = -rotor if rotor else 1
            load_event.direction = -load if load else 1
            found = solve_ivp(rates, (t, end), y, method="DOP853", args=(rotor, load),
                              events=[rotor_event, load_event], rtol=1e-10, atol=1e-13,
                              max_step=2e-4, dense_output=True)
            if not found.success:
                raise SystemExit(found.message)
            for mark in marks:
                if t < mark <= found.t[-1]:
                    print(",".join(f"{x:.12g}" for x in [mark, *found.sol(mark)]))
            t, y = found.t[-1], list(found.y[:, -1])
            if len(found.t_events[0]):
                if rotor:
                    y[3] = 0.0
                    rotor = sign(on_rotor(y)) if abs(on_rotor(y)) > IRON else 0
                else:
                    rotor = sign(on_rotor(y))
            if len(found.t_events[1]):
                if load:
                    y[5] = 0.0
                    load = sign(on_load(y)) if abs(on_load(y)) > STATIC else 0
                else:
                    load = sign(on_load(y))


if __name__ == "__main__":
    main()
