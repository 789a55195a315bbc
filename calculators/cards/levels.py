"""Calculators of levels."""

from calculators.cards import chain
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.formulas import levels
from calculators.formulas.front_end import capacitive_divider_level
from calculators.formulas.noise import noise_after_gain
from calculators.units import format_display

STAGES = ("front_end_clip", "input_clip", "full_scale_clip")
"""Where the chain can clip, in the order of the signal."""

STAGE_NAMES = ("front end", "recorder's input", "full scale")

ALIKE = 1e-9
"""dB. Stages that clip closer together than this clip together: the first in the chain is named."""

GAINS_AROUND = 30.0
"""dB of recorder gain that the plot shows on either side of the one set."""


def _level_chain(
    sensitivity_level: float,
    element_capacitance: float,
    cable_capacitance: float,
    input_capacitance: float,
    front_end_noise: float,
    swing: float,
    gain: float,
    recorder_input_limit: float,
    recorder_full_scale: float,
    recorder_gain: float,
    recorder_input_noise: float,
    bits: float,
    band_low: float,
    band_high: float,
    expected_peak: float,
    headroom: float,
) -> dict[str, float]:
    loading = capacitive_divider_level(
        source_capacitance=element_capacitance,
        load_capacitance=cable_capacitance + input_capacitance,
    )
    loaded = levels.sensitivity_behind(sensitivity=sensitivity_level, gain=loading)
    at_recorder = levels.sensitivity_behind(sensitivity=loaded, gain=gain)
    full_scale = levels.input_full_scale(
        full_scale=recorder_full_scale, recorder_gain=recorder_gain
    )
    # A gain is made by an amplifier on the same supply; a loss comes after what can clip.
    front_end = at_recorder if gain > 0 else loaded
    clips = {
        "front_end_clip": levels.sound_level(voltage=swing, sensitivity=front_end),
        "input_clip": levels.sound_level(voltage=recorder_input_limit, sensitivity=at_recorder),
        "full_scale_clip": levels.sound_level(voltage=full_scale, sensitivity=at_recorder),
    }
    clip = min(clips.values())
    rounding = levels.quantisation_noise(full_scale=full_scale, bits=bits)
    bandwidth = band_high - band_low
    floor = levels.sound_level(
        voltage=levels.recording_noise(
            front_end_noise=noise_after_gain(noise=front_end_noise, gain=gain),
            recorder_noise=recorder_input_noise,
            bandwidth=bandwidth,
            quantisation_noise=rounding,
        ),
        sensitivity=at_recorder,
    )
    return {
        "clip_level": clip,
        "first_stage": next(n for n, c in enumerate(clips.values(), 1) if c <= clip + ALIKE),
        **clips,
        "reserve": clip - expected_peak,
        "recommended_gain": levels.recorder_gain_for_peak(
            full_scale=recorder_full_scale,
            sensitivity=at_recorder,
            expected_peak=expected_peak,
            headroom=headroom,
        ),
        "system_sensitivity": levels.system_sensitivity_level(
            sensitivity=at_recorder, full_scale=full_scale
        ),
        "noise_floor": floor,
        "noise_density": levels.mean_density_level(level=floor, bandwidth=bandwidth),
        "rounding_level": levels.sound_level(voltage=rounding, sensitivity=at_recorder),
        "dynamic_range": levels.dynamic_range(clip_level=clip, noise_floor=floor),
    }


def _over_gain(values: Values, results: Results, system: str) -> Plot:
    set_gain = float(values["recorder_gain"])
    left, right = set_gain - GAINS_AROUND, set_gain + GAINS_AROUND
    steps = (left + (right - left) * i / 60 for i in range(60))
    answers = [(g, _at_gain(values, g)) for g in (*steps, right)]
    stage = STAGE_NAMES[int(results["first_stage"]) - 1]
    shown = {name: _level(results[name], system) for name in ("clip_level", "noise_floor")}
    drawn = [a[name] for _, a in answers for name in ("clip_level", "noise_floor")]
    expected = float(values["expected_peak"])
    return Plot(
        title="Clip level and noise floor over the recorder's gain",
        description=(
            f"At a recorder gain of {format_display(set_gain, 'dB', 3, system)} the chain clips at "
            f"{shown['clip_level']} peak (thick), in this stage first: {stage}; its noise floor is "
            f"{shown['noise_floor']} rms (thin). More gain lowers the level of full scale and "
            "leaves that of the front end and of the recorder's input where they are."
        ),
        x=Axis(label="Recorder gain", unit="dB", domain=(left, right)),
        y=Axis(
            label="Level",
            unit="dB re 1 µPa",
            domain=(min(expected, *drawn) - 5, max(expected, *drawn) + 5),
        ),
        lines=[
            Line(name="Clip level, peak", points=[(g, a["clip_level"]) for g, a in answers]),
            Line(
                name="Noise floor, rms",
                points=[(g, a["noise_floor"]) for g, a in answers],
                kind="second",
            ),
        ],
        marks=[(set_gain, "gain set")],
        levels=[(expected, "expected peak")],
    )


def _at_gain(values: Values, recorder_gain: float) -> dict[str, float]:
    """The answers at another recorder gain; the recorder's noise at its input is kept."""
    given = {name: float(value) for name, value in values.items()}
    return _level_chain(**given | {"recorder_gain": recorder_gain})


def _level(value: float, system: str) -> str:
    return format_display(value, "dB re 1 µPa", 4, system)


def _stage(name: str, label: str, help_text: str) -> Output:
    return Output(
        name=name,
        label=label,
        unit="dB re 1 µPa",
        digits=4,
        help=help_text,
        verdict=Verdict(
            better="above",
            limit="expected_peak",
            met="takes the expected peak of {limit}",
            missed="clips on the expected peak of {limit}",
            unsure="may clip on the expected peak of {limit}",
            source="your own limit",
            in_rig=False,
        ),
    )


LEVEL_CHAIN = Calculator(
    id="level-chain",
    title="From pressure to full scale",
    question="What sound clips the chain, where does it clip first, and how quiet is it?",
    stage="plan",
    inputs=(
        chain.SENSITIVITY_LEVEL,
        chain.ELEMENT_CAPACITANCE,
        chain.CABLE_CAPACITANCE,
        chain.INPUT_CAPACITANCE,
        Number(
            name="front_end_noise",
            label="Noise of the front end, at the buffer's input",
            unit="nV/√Hz",
            default="5.6 nV/√Hz",
            low="0.01 nV/√Hz",
            high="100 µV/√Hz",
            why="below the quietest amplifiers to far above the worst",
            hint="mean over the band, without the recorder's: from the calculator of that noise",
            tolerance="±25 %",
            rig="front_end.input_noise",
        ),
        Number(
            name="swing",
            label="Largest swing of buffer and amplifier, peak",
            unit="V",
            default="1.7 V",
            low="1 mV",
            high="100 V",
            why="a battery all but empty to a large supply",
            hint="to one side, before the output clips, on the emptiest battery; half of a "
            "peak-to-peak figure",
            tolerance="±10 %",
            rig="front_end.swing",
        ),
        chain.GAIN,
        Number(
            name="recorder_input_limit",
            label="Largest peak voltage at the recorder's input",
            unit="V",
            default="2.8 V",
            low="1 mV",
            high="100 V",
            why="microphone inputs to professional line inputs",
            hint="at any gain; a figure in V rms of a sine × 1.414",
            tolerance="±10 %",
            rig="recorder.input_limit",
        ),
        chain.RECORDER_FULL_SCALE,
        chain.RECORDER_GAIN,
        chain.RECORDER_INPUT_NOISE,
        Number(
            name="bits",
            label="Bits, or effective bits",
            unit="bit",
            default="24 bit",
            low="4 bit",
            high="32 bit",
            why="the crudest to the finest converter",
            hint="the word length, with the recorder's noise above; or effective bits, with that "
            "noise set to zero",
            rig="recorder.bits",
        ),
        Number(
            name="band_low",
            label="Band of the recording from",
            unit="Hz",
            default="10 Hz",
            low="0.01 Hz",
            high="1 kHz",
            why="slow waves to recordings with a low cut",
            hint="noise is added up from here",
            rig="recorder.band_low",
        ),
        Number(
            name="band_high",
            label="… to",
            unit="kHz",
            default="20 kHz",
            low="2 kHz",
            high="1 MHz",
            why="speech to ultrasound",
            hint="up to half the sample rate",
            rig="recorder.band_high",
        ),
        Number(
            name="expected_peak",
            label="Loudest peak expected",
            unit="dB re 1 µPa",
            default="150 dB re 1 µPa",
            low="0 dB re 1 µPa",
            high="260 dB re 1 µPa",
            why="silence to a blast near by",
            hint="zero-to-peak: 3 dB above the level of a sine, 12 dB or more above that of noise",
            rig="plan.expected_peak",
        ),
        Number(
            name="headroom",
            label="Headroom wanted",
            unit="dB",
            default="12 dB",
            low="0 dB",
            high="60 dB",
            why="none, to no idea what may come",
            hint="between the expected peak and clipping",
            rig="plan.headroom",
        ),
    ),
    outputs=(
        Output(
            name="clip_level",
            label="Clip level of the chain, zero-to-peak",
            unit="dB re 1 µPa",
            digits=4,
            help="the lowest of the three stages below",
            verdict=Verdict(
                better="above",
                limit="expected_peak",
                met="above the expected peak of {limit}",
                missed="below the expected peak of {limit}: it will clip",
                unsure="may lie below the expected peak of {limit}",
                source="your own limit",
            ),
        ),
        Output(
            name="first_stage",
            label="Stage that clips first",
            unit="1",
            help="1 front end, 2 recorder's input, 3 full scale",
        ),
        _stage(
            "front_end_clip",
            "1 Front end clips at, zero-to-peak",
            "buffer and amplifier; no setting of the recorder mends it",
        ),
        _stage(
            "input_clip",
            "2 Recorder's input clips at, zero-to-peak",
            "in front of its gain: turning that down does not mend it, and the meter does not "
            "show it",
        ),
        _stage(
            "full_scale_clip",
            "3 Full scale is reached at, zero-to-peak",
            "the only one that the recorder's meter shows",
        ),
        Output(
            name="reserve",
            label="Clip level over the expected peak",
            unit="dB",
            help="both zero-to-peak",
            verdict=Verdict(
                better="above",
                limit="headroom",
                met="the headroom of {limit} is there",
                missed="less headroom than the {limit} wanted",
                unsure="may be less than the headroom of {limit}",
                missed_level="care",
                source="your own limit",
            ),
        ),
        Output(
            name="recommended_gain",
            label="Recorder gain for expected peak and headroom",
            unit="dB",
            help="then full scale lies the headroom above the expected peak; the other stages do "
            "not change",
        ),
        Output(
            name="system_sensitivity",
            label="Sensitivity of the whole system",
            unit="dB re 1 FS/µPa",
            digits=4,
            help="a sample's level in dB re full scale, less this, is the level in the water",
        ),
        Output(
            name="noise_floor",
            label="Noise floor in the band, rms",
            unit="dB re 1 µPa",
            help="of front end, recorder and rounding, as a sound pressure level",
        ),
        Output(
            name="noise_density",
            label="Noise floor as a density",
            unit="dB re 1 µPa²/Hz",
            help="mean over the band",
        ),
        Output(
            name="rounding_level",
            label="Noise of rounding alone, rms",
            unit="dB re 1 µPa",
            help="from zero to half the sample rate",
        ),
        Output(
            name="dynamic_range",
            label="Dynamic range",
            unit="dB",
            help="largest sine over the noise floor in the band, both rms",
        ),
    ),
    in_rig=True,
    compute=_level_chain,
    plot=_over_gain,
    cautions=(
        Caution(
            title="Headphones on a hydrophone can hurt.",
            text="A knock on the element or cable is far louder than what you listen for. Turn the "
            "monitor down before you move anything, use a limiter, and follow the headphone "
            "maker's sheet and local rules on noise.",
        ),
    ),
)
