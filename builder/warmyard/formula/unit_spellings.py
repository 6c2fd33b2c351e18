"""The closed table of spellings: which units there are, how each is read, and which can mean two things.

How a reader sees a unit, and what its quantity is called, are words: `unit.SPELLING` and `quantity.NAME`.
"""

from __future__ import annotations

# Quantity -> spelling -> pint's name. The first spelling is the one that examples use.
TABLE: dict[str, dict[str, str]] = {
    "plain-number": {"1": "", "%": "percent", "ppm": "ppm"},
    "mass-ratio": {"kg/kg": "kg/kg"},
    "temperature": {"degC": "degC", "degF": "degF"},
    "temperature-difference": {"K": "kelvin"},
    "length": {"m": "m", "mm": "mm", "cm": "cm", "km": "km", "ft": "ft", "in": "inch"},
    "area": {"m2": "m**2", "mm2": "mm**2", "cm2": "cm**2", "ft2": "ft**2"},
    "volume": {"L": "L", "m3": "m**3", "mL": "mL", "US_gal": "US_liquid_gallon", "UK_gal": "imperial_gallon"},
    "mass": {"kg": "kg", "g": "g", "mg": "mg", "t": "metric_ton", "lb": "lb"},
    "time": {"h": "h", "min": "min", "s": "s", "day": "day"},
    "speed": {"m/s": "m/s", "km/h": "km/h", "ft/min": "ft/min"},
    "volume-flow": {
        "m3/h": "m**3/h",
        "m3/s": "m**3/s",
        "m3/min": "m**3/min",
        "L/h": "L/h",
        "L/min": "L/min",
        "L/s": "L/s",
        "mL/min": "mL/min",
        "US_gal/h": "US_liquid_gallon/h",
        "UK_gal/h": "imperial_gallon/h",
        "ft3/min": "ft**3/min",
    },
    "mass-flow": {"kg/h": "kg/h", "kg/s": "kg/s", "g/s": "g/s"},
    "density": {"kg/m3": "kg/m**3", "kg/L": "kg/L", "g/cm3": "g/cm**3"},
    "mass-in-air": {"mg/m3": "mg/m**3", "g/m3": "g/m**3"},
    "pressure": {
        "bar": "bar",
        "Pa": "Pa",
        "hPa": "hPa",
        "kPa": "kPa",
        "MPa": "MPa",
        "mbar": "mbar",
        "psi": "psi",
        "mmH2O": "mmH2O",
        "inH2O": "inH2O",
    },
    "power": {"kW": "kW", "W": "W", "Btu/h": "Btu/h"},
    "apparent-power": {"kVA": "kV*A", "VA": "V*A"},
    "energy": {"kWh": "kWh", "Wh": "Wh", "MJ": "MJ", "kJ": "kJ", "J": "J"},
    "heat-per-mass": {"MJ/kg": "MJ/kg", "kJ/kg": "kJ/kg", "J/kg": "J/kg", "kWh/kg": "kWh/kg"},
    "heat-per-volume": {"kWh/L": "kWh/L", "MJ/L": "MJ/L", "J/m3": "J/m**3"},
    "heat-capacity": {"kWh/K": "kWh/K", "Wh/K": "Wh/K", "kJ/K": "kJ/K", "J/K": "J/K"},
    "heat-loss-per-kelvin": {"kW/K": "kW/K", "W/K": "W/K"},
    "heat-capacity-per-mass": {"J/kgK": "J/kg/K", "kJ/kgK": "kJ/kg/K"},
    "heat-per-air-volume": {"Wh/m3K": "Wh/m**3/K", "J/m3K": "J/m**3/K"},
    "u-value": {"W/m2K": "W/m**2/K"},
    "thermal-resistance": {"m2K/W": "m**2*K/W"},
    "conductivity": {"W/mK": "W/m/K"},
    "rate": {"1/h": "1/h", "1/min": "1/min", "1/s": "1/s", "1/day": "1/day"},
    "use-per-day": {"h/day": "h/day"},
    "share-per-length": {"1/m": "1/m", "1/mm": "1/mm", "1/km": "1/km", "%/m": "percent/m"},
    "share-per-kelvin": {"1/K": "1/K", "%/K": "percent/K", "%2/K": "percent**2/K"},
    "share-per-volume": {"1/L": "1/L", "1/m3": "1/m**3", "%/L": "percent/L"},
    "molar-mass": {"g/mol": "g/mol", "kg/mol": "kg/mol"},
    "molar-heat": {"J/molK": "J/mol/K"},
    "viscosity": {"mm2/s": "mm**2/s", "m2/s": "m**2/s", "cSt": "centistokes"},
    "acceleration": {"m/s2": "m/s**2"},
    "force": {"N": "N", "kN": "kN", "kgf": "kgf", "lbf": "lbf"},
    "voltage": {"V": "V", "mV": "mV", "kV": "kV"},
    "current": {"A": "A", "mA": "mA"},
    "resistance": {"ohm": "ohm", "kohm": "kohm", "Mohm": "Mohm", "mohm": "mohm"},
    "resistance-per-length": {"ohm/km": "ohm/km", "ohm/m": "ohm/m"},
    "volt-drop-per-ampere-and-metre": {"mV/A/m": "mV/A/m"},
    "frequency": {"Hz": "Hz"},
    "sound-level": {"dB": "wy_level"},
}
ALSO_READ = {
    "temperature": {"K": "kelvin"},
    "temperature-difference": {"degC": "delta_degC", "degF": "delta_degF"},
}
ALSO_SPELT = {
    "l": "L",
    "l/h": "L/h",
    "lph": "L/h",
    "l/min": "L/min",
    "l/s": "L/s",
    "ml": "mL",
    "dB(A)": "dB",
    "hour": "h",
    "hours": "h",
}
AMBIGUOUS = ("F", "C", "gal", "gal/h", "gph", "deg")
"""What can mean two things: the word `ambiguous.SPELLING` says which."""
