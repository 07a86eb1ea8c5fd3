"""What travels over a port, one record for each medium.

Levels are rms dBu, impedances are magnitudes in ohm at 1 kHz. For an output
``ohm`` is its source impedance, for an input the load it presents.
"""

from typing import Annotated, Literal, get_args

from pydantic import Field

from rigcore.catalogue.record import NotNegative, Positive, Record

Balance = Literal["balanced", "impedance-balanced", "floating", "unbalanced"]
Phantom = Literal["none", "supplies", "switchable", "needs", "tolerates", "harmed", "blocks"]


class Audio(Record):
    """Analogue audio.

    Parameters
    ----------
    nominal_dbu
        Level at which the port is meant to work.
    max_dbu
        Highest level an output gives, or an input takes at its lowest gain without the pad.
    weakest_dbu
        Inputs only: lowest nominal level the highest gain brings up to reference.
    pad_db
        Inputs only: size of a pad that can be switched in, 0 for none.
    level
        Level class of the trade.
    layout
        ``mono``, ``stereo`` (left on the tip, right on the ring) or ``insert``.
    phantom
        What the port does about 48 V: an input supplies it, a source needs, tolerates or is harmed by it.
    """

    medium: Literal["audio"]
    level: Literal["mic", "instrument", "line", "consumer", "headphone"]
    balance: Balance
    layout: Literal["mono", "stereo", "insert"] = "mono"
    nominal_dbu: float | None = None
    max_dbu: float | None = None
    weakest_dbu: float | None = None
    pad_db: NotNegative = 0.0
    ohm: Positive | None = None
    noise_dbu: float | None = None
    phantom: Phantom = "none"
    phantom_ma: NotNegative = 0.0


class Loudspeaker(Record):
    """Loudspeaker level from a power amplifier: volts that destroy a line input."""

    medium: Literal["loudspeaker"]
    watts: Positive
    rated_ohm: Positive | None = None
    minimum_ohm: Positive | None = None


class FootSwitch(Record):
    """A switch pedal; ``rest`` is the state with the foot off it.

    On a keyboard ``senses`` says that it reads the resting state at switch-on.
    """

    medium: Literal["footswitch"]
    rest: Literal["open", "closed", "either"]
    senses: bool = False


class Expression(Record):
    """A continuous pedal: a potentiometer with its wiper on tip or ring."""

    medium: Literal["expression"]
    wiper: Literal["tip", "ring", "either"]
    ohm: Positive | None = None


class Midi(Record):
    """MIDI over DIN (current loop) or over a 3.5 mm plug of type A or B."""

    medium: Literal["midi"]
    wiring: Literal["din", "type-a", "type-b"] = "din"


class Usb(Record):
    """USB: who is host, and how much bus power it gives or draws, in mA."""

    medium: Literal["usb"]
    role: Literal["host", "device"]
    speed: Literal["full", "high", "super"] = "high"
    current_ma: NotNegative = 0.0


class Network(Record):
    """Network cable: audio, control or plain Ethernet, told apart by ``use``."""

    medium: Literal["network"]
    use: Literal["ethernet", "audio"] = "ethernet"


class DigitalAudio(Record):
    """AES3 and its consumer and optical relatives."""

    medium: Literal["aes3", "optical"]
    ohm: Positive | None = None


class WordClock(Record):
    """Word clock over 75 ohm."""

    medium: Literal["wordclock"]
    role: Literal["master", "follower", "either"] = "either"


class Mains(Record):
    """Mains: an inlet states what it takes and draws, an outlet what it gives.

    ``earth_class`` 1 needs a protective earth, 2 is double insulated.
    """

    medium: Literal["mains"]
    low_v: Positive
    high_v: Positive
    watts: NotNegative = 0.0
    power_factor: Annotated[float, Field(gt=0, le=1)] = 1.0
    earth_class: Literal[1, 2] = 1
    leakage_ma: NotNegative = 0.0
    rated_a: Positive | None = None


class Dc(Record):
    """Low-voltage supply: V, mA and what the centre pin carries."""

    medium: Literal["dc"]
    volts: Positive
    current_ma: NotNegative
    centre: Literal["positive", "negative"] = "positive"


Carrier = Annotated[
    Audio | Loudspeaker | FootSwitch | Expression | Midi | Usb | Network | DigitalAudio | WordClock | Mains | Dc,
    Field(discriminator="medium"),
]

KIND_OF: dict[str, type[Record]] = {
    medium: kind
    for kind in (
        Audio, Loudspeaker, FootSwitch, Expression, Midi, Usb, Network, DigitalAudio, WordClock, Mains, Dc,
    )
    for medium in get_args(kind.model_fields["medium"].annotation)
}
"""The carrier of each medium."""
