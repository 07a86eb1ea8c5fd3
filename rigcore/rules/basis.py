"""The sources the rules rest on, each named once.

``COMMON`` marks a fact of the trade without a published source.
"""

COMMON = "common practice, no source"
AES14 = "AES14-1992 (ANSI S4.48), IEC 60268-12: outputs carry pins, inputs carry sockets; pin 2 is hot"
IEC_60603_11 = "IEC 60603-11: two- and three-contact 6.35 mm plugs (standard number from memory)"
STEREO_PLUG = "trade articles on stereo plugs in balanced inputs: the difference of left and right arrives"
LEVELS = "+4 dBu against -10 dBV: 11.78 dB by definition of both units (0 dBu is 0.7746 V, 0 dBV is 1 V)"
SPEAKER_LEVEL = "level classes of a large-console manual: loudspeaker level is +30 dBu and above"
UNBALANCED = "trade articles give 3 m to 6 m as the limit of an unbalanced run"
P48 = "IEC 61938:2018: P48 is 48 V (44 to 52 V) through 6.8 kohm in each leg, on pins 2 and 3 against pin 1"
PHANTOM_HARM = "mixer manual's chart of sources on 48 V: 7 mA flow into an unbalanced source on an adapter"
SPLIT = "papers on transformer splitters: only the direct leg passes 48 V"
IEM = "Handbook for Sound Engineers, ch. 37: two mono mixes in a stereo receiver reach one ear each"
ORDER = "trade articles on input lists: drums first, vocals last; house and act numbers both printed"
PAIRS = "consoles link odd-even channels as stereo (from memory)"
MONO = "trade articles on stereo pianos summed to mono: comb filtering wherever the sum is made"
PROCESSOR = "festival handbooks: vocal processors in line with the microphone are unwelcome"
CLICK = COMMON
