"""Kinds of field: a number in the unit its name says, or text with its own unit, within what a workshop can mean."""

import math
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from polewright.codes import Message
from polewright.errors import PolewrightError
from polewright.units import parse, parse_load, to

__all__ = [
    "Angle",
    "AreaMass",
    "AreaPrice",
    "CarryMoment",
    "Clearance",
    "Clock",
    "Coat",
    "Density",
    "Diameter",
    "Expansion",
    "Force",
    "Frequency",
    "Friction",
    "Hold",
    "Hose",
    "JointStiffness",
    "Length",
    "Load",
    "MandrelDiameter",
    "Mass",
    "Modulus",
    "NonNegativeLength",
    "Offset",
    "Percent",
    "Pivot",
    "Play",
    "PositiveLength",
    "Price",
    "Push",
    "Ratio",
    "ReadingError",
    "Sanding",
    "Seconds",
    "SideForce",
    "Stress",
    "Temperature",
    "TestLoad",
    "Turns",
    "TwistStiffness",
    "Utilisation",
    "WallThickness",
    "WindSpeed",
]


def _read(quantity: str, unit: str) -> BeforeValidator:
    """Take text such as "1.65 m" as well as a bare number in the field's own unit."""

    def read(value: Any) -> Any:
        if not isinstance(value, str):
            return _not_bool(value)
        try:
            return to(parse(value, quantity, unit), unit)
        except PolewrightError as fault:
            raise ValueError(fault.want) from fault

    return BeforeValidator(read)


def _read_load(value: Any) -> Any:
    """A load as a mass [g] or as text such as "500 g" or, of a spring balance, "50 N"."""
    if not isinstance(value, str):
        return _not_bool(value)
    try:
        return to(parse_load(value, "g"), "g")
    except PolewrightError as fault:
        raise ValueError(fault.want) from fault


def _not_bool(value: Any) -> Any:
    if isinstance(value, bool):
        raise ValueError(Message("want.number"))  # noqa: TRY004 - only a ValueError reaches the reader
    return value


_WITHOUT_UNIT = {  # what is wanted of a number that has no unit of its own
    str(Message("want.number_in_unit", spellings="%")): Message("want.number"),
    str(Message("want.number_such_as")): Message("want.plain_number_such_as"),
}


def _plain(value: Any) -> Any:
    """A number without a unit of its own, a decimal comma allowed."""
    if not isinstance(value, str):
        return _not_bool(value)
    try:
        return to(parse(value, "share", "%"), "%")
    except PolewrightError as fault:
        raise ValueError(_WITHOUT_UNIT.get(str(fault.want), fault.want)) from fault


def _not_radians(value: float, most: int) -> float:
    """Refuse the radian spelling of a usual angle: 1.5708 is a right angle that lost its degrees."""
    if 0.0 < abs(value) < math.radians(most) + 2e-3:
        for degrees in range(5, most + 5, 5):
            if abs(abs(value) - math.radians(degrees)) < 2e-3 and abs(value - round(value, 1)) > 1e-9:
                raise ValueError(Message("want.degrees", angle=math.radians(degrees if value > 0 else -degrees)))
    return value


def _range(least: float, most: float) -> Any:
    """The range of a number that is read from text, in the JSON Schema too."""
    return Field(ge=least, le=most, json_schema_extra={"minimum": least, "maximum": most})


_ANGLE_READ = _read("angle", "°")


def _degrees(most: int) -> BeforeValidator:
    """Degrees; what is typed is judged as what stands in a file, or it could be kept and not be read again."""

    def read(value: Any) -> Any:
        number = _ANGLE_READ.func(value)  # type: ignore[call-arg]
        return _not_radians(float(number), most) if isinstance(number, int | float) and abs(number) < most else number

    return BeforeValidator(read)


Angle = Annotated[float, _degrees(90), Field(ge=-90.0, le=90.0)]
AreaMass = Annotated[float, _read("area_mass", "g/m2"), Field(ge=5.0, le=2000.0)]
AreaPrice = Annotated[float, _read("area_price", "/m2"), Field(ge=0.0, le=1.0e6)]
CarryMoment = Annotated[float, _read("carry", "kg m"), Field(gt=0.0, le=100.0)]
Clearance = Annotated[float, _read("length", "mm"), Field(ge=0.0, le=5.0)]
Clock = Annotated[float, _degrees(355), Field(ge=0.0, lt=360.0)]
Coat = Annotated[float, _read("length", "mm"), Field(ge=0.0, le=1.0)]
Density = Annotated[float, _read("density", "kg/m3"), Field(ge=100.0, le=20000.0)]
Diameter = Annotated[float, _read("length", "mm"), Field(ge=2.0, le=300.0)]
Expansion = Annotated[float, _read("expansion", "µ/K"), Field(ge=-20.0, le=300.0)]
Force = Annotated[float, _read("force", "N"), Field(ge=0.0, le=20000.0)]
Frequency = Annotated[float, _read("frequency", "Hz"), Field(gt=0.01, lt=1.0e6)]
Friction = Annotated[float, BeforeValidator(_plain), _range(0.0, 300.0)]
Hold = Annotated[float, _read("force", "N"), Field(ge=1.0, le=20000.0)]
Hose = Annotated[float, _read("line_mass", "g/m"), _range(0.0, 2000.0)]
JointStiffness = Annotated[float, _read("turning_stiffness", "kN m/rad"), Field(gt=0.0, le=1.0e6)]
Length = Annotated[float, _read("length", "mm"), Field(ge=1.0, le=30000.0)]
Load = Annotated[float, BeforeValidator(_read_load), Field(ge=0.0, le=100000.0)]
MandrelDiameter = Annotated[float, _read("length", "mm"), Field(ge=2.0, le=300.0)]
Mass = Annotated[float, _read("mass", "g"), Field(ge=0.0, le=100000.0)]
Modulus = Annotated[float, _read("modulus", "GPa"), Field(ge=0.01, le=1500.0)]
NonNegativeLength = Annotated[float, _read("length", "mm"), Field(ge=0.0, le=30000.0)]
Offset = Annotated[float, _read("length", "mm"), Field(ge=-10000.0, le=10000.0)]
Percent = Annotated[float, BeforeValidator(_plain), Field(ge=10.0, le=80.0)]
Pivot = Annotated[float, BeforeValidator(_plain), Field(ge=0.0, le=100.0)]
Play = Annotated[float, _read("angle", "mrad"), Field(ge=0.0, le=50.0)]
PositiveLength = Annotated[float, _read("length", "mm"), Field(gt=0.0, le=30000.0)]
Price = Annotated[float, BeforeValidator(_plain), Field(ge=0.0, le=1.0e6)]
Push = Annotated[float, _read("force", "N"), _range(0.0, 500.0)]
Ratio = Annotated[float, BeforeValidator(_plain), Field(ge=0.0, lt=1.0)]
ReadingError = Annotated[float, _read("length", "mm"), Field(gt=0.0, le=100.0)]
Sanding = Annotated[float, _read("length", "mm"), Field(ge=0.0, le=0.5)]
Seconds = Annotated[float, _read("time", "s"), Field(gt=0.0, le=1.0e6)]
SideForce = Annotated[float, _read("force", "N"), _range(-500.0, 500.0)]
Stress = Annotated[float, _read("stress", "MPa"), Field(gt=0.0, le=20000.0)]
Temperature = Annotated[float, _read("temperature", "°C"), Field(ge=-60.0, le=400.0)]
TestLoad = Annotated[float, _read("mass", "g"), Field(ge=50.0, le=5000.0)]
Turns = Annotated[float, BeforeValidator(_plain), Field(gt=0.0, le=60.0)]
TwistStiffness = Annotated[float, _read("bending", "N m2"), Field(gt=0.0, le=1.0e7)]
Utilisation = Annotated[float, BeforeValidator(_plain), Field(gt=0.2, le=1.0)]
WallThickness = Annotated[float, _read("length", "mm"), Field(gt=0.0, le=10.0)]
WindSpeed = Annotated[float, _read("speed", "m/s"), _range(0.0, 40.0)]
