"""The twenty-two refrigerants as CoolProp models; shared by the scripts that make tables and check points."""

from CoolProp.CoolProp import AbstractState, PropsSI
import CoolProp

# Mass composition after ANSI/ASHRAE Standard 34; the components carry CoolProp's names.
COMPOSITIONS = {
    'R134a': {'R134a': 1.0},
    'R1234ze(E)': {'R1234ze(E)': 1.0},
    'R1234yf': {'R1234yf': 1.0},
    'R32': {'R32': 1.0},
    'R1233zd(E)': {'R1233zd(E)': 1.0},
    'R22': {'R22': 1.0},
    'R123': {'R123': 1.0},
    'R245fa': {'R245fa': 1.0},
    'R290': {'R290': 1.0},
    'R717': {'R717': 1.0},
    'R744': {'R744': 1.0},
    'R410A': {'R32': 0.50, 'R125': 0.50},
    'R454B': {'R32': 0.689, 'R1234yf': 0.311},
    'R452B': {'R32': 0.67, 'R125': 0.07, 'R1234yf': 0.26},
    'R513A': {'R1234yf': 0.56, 'R134a': 0.44},
    'R515B': {'R1234ze(E)': 0.911, 'R227EA': 0.089},
    'R450A': {'R134a': 0.42, 'R1234ze(E)': 0.58},
    'R407C': {'R32': 0.23, 'R125': 0.25, 'R134a': 0.52},
    'R448A': {'R32': 0.26, 'R125': 0.26, 'R1234yf': 0.20, 'R134a': 0.21, 'R1234ze(E)': 0.07},
    'R449A': {'R32': 0.243, 'R125': 0.247, 'R1234yf': 0.253, 'R134a': 0.257},
    'R454C': {'R32': 0.215, 'R1234yf': 0.785},
    'R404A': {'R125': 0.44, 'R143a': 0.52, 'R134a': 0.04},
}


def is_pure(name):
    return len(COMPOSITIONS[name]) == 1


def state(name):
    """A fresh CoolProp state (HEOS) of the refrigerant at its ASHRAE 34 composition."""
    parts = COMPOSITIONS[name]
    model = AbstractState('HEOS', '&'.join(parts))
    if len(parts) > 1:
        moles = [w / PropsSI('M', part) for part, w in parts.items()]
        model.set_mole_fractions([n / sum(moles) for n in moles])
    return model


def critical_temperature(name):
    """Critical temperature, K: of the pure fluid, or of the blend by CoolProp's critical-point search."""
    model = state(name)
    if is_pure(name):
        return model.T_critical()
    points = [p for p in model.all_critical_points() if p.stable]
    return max(p.T for p in points)


def equation_limit(name):
    """Highest temperature for which every component's equation of state is stated valid, K."""
    return min(PropsSI('Tmax', part) for part in COMPOSITIONS[name])


def lowest_temperature(name):
    """Lowest temperature common to the equations of state of all components, K."""
    return max(PropsSI('Tmin', part) for part in COMPOSITIONS[name])


VERSION = CoolProp.__version__
