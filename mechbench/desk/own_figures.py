"""Figures of a motor and of a battery that stand in a line one by one: free=275rpm stall=2.6Nm is one motor.

Contents: OwnFigures.
"""

from mechbench import quantity
from mechbench.desk.arguments import inputs_meant
from mechbench.desk.common_words import LABEL, OF_BATTERY, OF_MOTOR
from mechbench.desk.known_words import kind_of


class OwnFigures:
    """What a line said so far of a motor and of a battery of one's own."""

    def __init__(self, known):
        self.known = known
        self.label, self.battery = {}, {}  # what it is on the label, or which kind -> text

    def take_named(self, name, text):
        """Take a figure by its name; False where it names none: stall=2.6Nm, voltage=12V."""
        if name in LABEL and self.known.turns and not inputs_meant(self.known.sizing, name):
            self.label[LABEL[name]] = text
        elif self._is_of_battery(name, text):
            self.battery[OF_BATTERY[name]] = text.replace(" ", "")
        else:
            return False
        return True

    def take_found(self, name, text, findings):
        """Take what was given for a finding, where a motor's label has such a figure and no input has it."""
        kind = kind_of(text)
        bounds = {one.bound for one in findings}
        asked = [one for one in self.known.sizing.FIELDS if one.name in bounds]
        if kind not in OF_MOTOR or not self.known.turns or any(quantity.kind_of(one.unit) == kind for one in asked):
            return False
        self.label[OF_MOTOR[kind]] = text
        return True

    def take_alone(self, text, free):
        """Take a quantity without a name, where no input is of its kind (`free`: inputs of it that have no value)."""
        kind = kind_of(text)
        if kind in OF_BATTERY.values() and "battery" in self.known.supplied and not free:
            self.battery[kind] = text.replace(" ", "")
        elif kind in OF_MOTOR and not self.known.of_kind(text) and self.known.turns:
            self.label[OF_MOTOR[kind]] = text
        else:
            return False
        return True

    def _is_of_battery(self, name, text):
        kind = OF_BATTERY.get(name)
        return (
            bool(kind) and not self.known.is_input(name) and "battery" in self.known.supplied and kind_of(text) == kind
        )

    def put_together(self, reading):
        """Put the motor and the battery among the values of a line, and say so."""
        if self.label:
            self._motor(reading)
        if self.battery:
            self._battery(reading)

    def _motor(self, reading):
        pick = self.known.turns
        figures = [self.label.get(what, "") for what in ("free speed", "stall torque")]
        reading.values[pick.name] = [",".join(filter(None, figures))]
        if all(figures):
            reading.say(f"Free speed and stall torque: taken as {pick.name}={reading.values[pick.name][0]}.")

    def _battery(self, reading):
        figures = [*reading.values.get("battery", [])[:1], *self.battery.values()]
        if not any(kind_of(one) == "charge" for text in figures for one in text.split(",")):
            figures += self._usual_charge(reading)
        reading.values["battery"] = [",".join(figures)]
        if "resistance" in self.battery:  # given to see what is lost in it
            reading.asked |= {one.name: 9 for one in self.known.sizing.FINDINGS if one.name == "volts"}
        reading.say(f"Figures of a battery: taken as battery={reading.values['battery'][0]}.")

    def _usual_charge(self, reading):
        """The charge of a battery of which only voltage or resistance was typed: as an input says, or as the kit's."""
        own = next((one for one in self.known.numbers if quantity.kind_of(one.unit) == "charge"), None)
        typed = reading.values.get(own.name, [""])[0] if own else ""
        if typed and kind_of(typed) == "charge":
            return [typed.replace(" ", "")]
        charge = quantity.show(self.known.tables.kit.battery.capacity, "A·h")
        reading.say(f"The battery's charge is not given: {charge}, as the kit's battery has.")
        return [charge.replace(" ", "").replace("·", "")]
