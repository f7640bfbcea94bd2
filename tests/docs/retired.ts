/** Words that the program no longer uses, what it writes instead, and where the same letters mean something else. */
export type Retired = {
  /** In text on one line; letters of either case unless it has the flag u. */
  readonly phrase: RegExp;
  readonly write: string;
  /** A line of before, in which the phrase is found. */
  readonly before: string;
  /** Contexts in which the words are right: they are left out before the phrase is looked for. */
  readonly allowed?: readonly RegExp[];
};

const row = (phrase: RegExp, write: string, before: string, ...allowed: RegExp[]): Retired => ({
  phrase: new RegExp(phrase.source, `g${phrase.flags || 'i'}`),
  write,
  before,
  allowed,
});

/** Where a change is said. */
const CHANGES: readonly Retired[] = [
  row(/[\d.]+(?: dB)? > -?[\d.]+/, 'A → B', 'S/B 17.4 > 11.4 dB'),
  row(/short by -?\d/, '18.4 dB short', 'short by 18.4 dB'),
  row(/missed margins/, 'total shortfall', 'missed margins together 91.5 to 86.5 dB'),
  row(/, the worst -/, '(drop)', 'together 91.5 to 86.5 dB, the worst -18.5 to -18.5 dB'),
  row(/left out of account/, 'not counted', 'screens are left out of account'),
];

const SOUND: readonly Retired[] = [
  row(/\b(?:mic|microphone|main|overheads|capsule|pair)s? hears?\b/, 'picks up', 'main hears everyone'),
  row(/\bhears? a spot\b/, 'too close to pick up the whole instrument', 'it hears a spot of it'),
  row(/\bstrains?\b/, 'barely hears', 'tuba strains to hear horn'),
  row(/\bhardly (?:from|hears?)\b|\bhears? \S+ hardly\b/, 'barely', 'heard from -8, hardly from -15'),
  row(
    /\b(?:every|each|all|direct|free|shortest|detour|reflected) ways?\b(?! in which)|\bway by way\b|\bby way of\b|\bways? of (?:a|the|every|each) (?:source|mic|pair)/,
    'path',
    'every way of a source to a microphone',
  ),
  row(
    /\bscreens?\b/,
    'baffle',
    'screens can buy nothing here',
    /(?:fits?|on|of) (?:a|one|the) screen\b(?! of)|screen reader|to (?:a |the )?screen\b|@media screen|(?:noise|thin) screens?|also: \[[^\]]*\]/i,
  ),
  row(/\bown sound\b|\bwanted sound\b/, 'signal', 'trombone -3 dB under its own sound'),
  row(/\bmates?\b/, 'same kit', 'mate of drums.kick'),
  row(/\boff aim\b/, 'mic off-axis', 'off aim 40°', /° off aim, S\/B/i),
  row(
    /\blooks? (?:at|along|to)\b|\bwhere (?:it|the face) looks\b|\blooks ahead\b/,
    'aimed at',
    'looks at soprano',
  ),
  row(/\bbleeds in\b/, 'bleed from', 'trombone bleeds in'),
  row(/\bmost(?:ly)? from\b/, 'mainly', 'mostly from trombone'),
  row(/\bcarried[ -]within\b/, '--ignore-below', '--carried-within 20'),
  row(
    /\b(?:mic|microphone|pair|main)s? (?:carries|takes)\b|\bcarries \/ dB/,
    'picks up',
    'main carries tuba',
    /pair takes (?:a list|two)/,
  ),
  row(
    /\bgives? off\b|\bspeaks? (?:up|to|alike|down|ahead|forward)\b/,
    'radiates',
    'speaks up and to the right',
  ),
  row(/\broom field\b/, 'room (diffuse field)', 'Room field 98%'),
  row(/\bmicrophone all round\b/, 'mic, diffuse field', 'microphone all round -4.8'),
  row(/\beditable\b|\balone (?:at|short|met)\b|\btune alone\b/, 'isolation', 'tuba alone short by 2.3 dB'),
  row(/\bstays? of (?:it|a part|the part)\b/, 'ghost', '-6.5 dB stays of it'),
  row(/\bT60\b/, 'RT60', 'T60 0.4 s', /RT60/),
  row(
    /\breverberation by octave\b|\blevels and reverberation\b/,
    'RT60',
    'levels and reverberation by octave',
  ),
  row(/\bdips?\b/, 'notch', 'a dip at 436 Hz', /coincidence dip/),
  row(/\bcombs?\b(?![ -]filter)/, 'comb filtering', 'A and B comb on drums'),
  row(/\bflipped\b/, 'polarity inverted', 'tuba-mic is flipped'),
  row(/\bcrest\b(?! factor)|\bpeak over mean\b/, 'crest factor', 'crest 12 dB', /crest: |\[crest\]|"crest":/),
  row(
    /\brecording angle\b/,
    'stereo recording angle (SRA)',
    'recording angle 94°',
    /stereo recording angle/i,
  ),
  row(/\bdirect to room\b/, 'direct-to-reverberant ratio', 'direct to room 4 dB'),
  row(/\bspots brought to\b/, 'spot delays', 'Spots brought to main'),
  row(/\bdirect lines?\b/, 'DI', 'MIC is a direct line', /in a direct line/i),
  row(
    /\bT60\b|\bfield per power\b|\bleft by (?:first|second)\b/,
    'room gain, after 1st surface',
    'field per power',
    /RT60/,
  ),
  row(/\bhis\b|\bhe\b|\bhim\b|\bher\b|\bshe\b/, 'they, their', 'move tuba with his mics'),
  row(/\bsits? too loud\b/, 'over the daily dose', 'Nobody sits too loud'),
  row(/\bsafe for \d|\bsafe level\b/, 'NIOSH limit', 'safe for 54 min'),
  row(/\bspeak(?:s|ing)? alike\b/, 'omnidirectional', 'a point that speaks alike to all sides'),
  row(/\bpointing? whither\b|\bwhither\b/, "each mic's aim", 'points whither'),
];

const JUDGED: readonly Retired[] = [
  row(/\bon everyone\b/, 'picks up everyone by design; not judged', 'on everyone: nobody is bleed here'),
  row(
    /\bbroken\b/,
    'invalid',
    'plan.yaml: broken, 6 faults',
    /fixtures\/broken|broken-|broken (?:line|chord|cable)/i,
  ),
  row(/\bmend(?:s|ed|ing)?\b/, 'fix', 'mend: --overwrite', /\bamend(?:ment)?s?\b/i),
  row(/\bcures?\b/, 'fix', 'its one cure'),
  row(
    /\bbetters?\b (?:a|it|the|this|only)\b|\bbetters\b|\bbetter it:/,
    'improve',
    'moves that better a plan',
  ),
  row(
    /\bmoves that\b|--moves\b|--no-moves\b|\bsets of up to so many moves\b/,
    'fixes',
    'do not look for moves that better',
  ),
  row(/\bprices?\b/, 'costs', 'price: S/B of voice-mic'),
  row(/\bbuys?\b|\bbought\b|_buy_/, 'gain', 'screens can buy at most 7.6 dB'),
  row(/\btold\b|\bsaid by\b/, 'shown, set in', 'drums.kick is told below', /told apart/),
  row(/\bgo(?:es)? before\b/, 'overrides', 'local rules go before it'),
  row(/\bnot there\b/, 'absent, not found', 'mics.tuba: not there'),
  row(
    /\b(?:file|value|entry|key|name) stands\b|\bstands (?:twice|there already|in one map|inside what)\b/,
    'is',
    'X stands twice in one map',
  ),
  row(/\bstands? out\b/, 'outlier', '6 readings stand out'),
  row(
    /\b(?:of|on|to|against) the day\b|\breadings of the day\b/,
    'measured, session',
    'levels of the day to go by',
  ),
  row(
    /\b(?:\d+|every|more|with its) faults?\b(?! tested)|\bfaults? (?:of|in) (?:a|the) (?:plan|file|options?)\b/,
    'error',
    '6 faults',
  ),
  row(
    /\b(?:plan|no) entr(?:y|ies)\b|\bentr(?:y|ies) (?:of (?:the|a) plan|that (?:differ|change|make))\b/,
    'setting',
    'Entries that differ',
    /no entry in the catalogue/i,
  ),
  row(
    /\bfigures?\b/,
    'value',
    'every figure with its source',
    /figure[ -](?:of[ -])?(?:8|eight)|figures? \d|(?:the|in|this|one) figure\b|<\/?figure|figure(?: svg)? \{|li, figure,|values, figures|figures\[0\]|figures\.ts/i,
  ),
  row(/\banswers? in brief\b/, 'summary', 'the answers in brief'),
  row(
    /\bblanks?\b/,
    'space',
    'a tab stands where blanks are needed',
    /(?:left|leave|stays?|are|is) blank|blank (?:lines?|cells?)/i,
  ),
  row(/\bplan is silent\b/, 'assumed values', 'assumed where the plan is silent'),
  row(/\bguess(?:es|ed)?\b/, 'assumed', 'plays mf (guess)', /guessed-level/),
  row(/\bfrom memory\b/, 'unverified', 'grade: from memory'),
  row(/\bdraws are\b|\d draws\b|\bdays drawn\b|\bof the draws\b/, 'runs', 'Percentiles of 500 draws'),
  row(/\bnine (?:of|in|out of) ten\b/, '90% of runs', 'what holds on nine of ten days'),
  row(
    /\bwhat is asked\b|\bwhat is tried\b|\bwhat counts:|\bjudged by:|\bhow it is told\b|\bhow much is shown\b|\bwhere to(?: and how)?:|\bwhat it holds\b|\bhow it looks\b|\bfor build servers:/,
    'Selection, Parameters, Limits, Measured levels, Display, Output, CI formats, Content, Style',
    'Where to and how: --json',
  ),
  row(
    /\bjudge a plan\b|\bput it on paper\b|\bhold it against\b/,
    'Analysis; Paperwork and line check',
    'Judge a plan:',
  ),
];

const FIXES: readonly Retired[] = [
  row(/\bbring \S+ from\b/, 'move in, A → B', 'bring horn-mic from 40 to 15 cm'),
  row(
    /\bshift \S+/,
    'move … and mics',
    'shift narrator with his mics',
    /\bshift\+|phase shift|shift (?:key|of phase)/i,
  ),
  row(/\bchange places\b/, 'swap A and B', 'let A and B change places', /can change places/),
  row(/\bto look along\b/, 're-aim MIC 10° right', 'turn mic 10° to the right, to look along'),
  row(/\btake it softer\b|\bplay it softer\b/, 'have X play pp, not p', 'ask tuba to take it softer'),
  row(/\bput the null\b/, "point A's null at B", 'put the null of A on B'),
  row(/\bfrom those on hand\b/, 'replace with X', 'from those on hand in the place of'),
  row(/\btake away\b/, 'remove', 'take away the baffle'),
  row(/\bturn \S+ round\b/, 'turn around', 'turn drums round, to face 0°'),
  row(/\babout \d+ minutes?\b/, '2 min', 'about 2 minutes'),
  row(/\bthat go together\b/, 'compatible', 'all that go together'),
  row(
    /\bis to be (?:tried|replaced|edited)\b|\bwants (?:no part|replaced)\b/,
    'marked replace; no values given to vary',
    'nothing is to be tried',
  ),
  row(/\bwhat to do now\b|\bwhat_to_do_now\b/, 'Fix first', 'What to do now'),
  row(
    /\bcut together\b|\bcut_together\b|\bcut for all\b|\bcut alone\b/,
    'edit together',
    'must be cut together',
  ),
  row(/\bgets? close\b/, 'stuffy', 'leave it when it gets close'),
  row(/\bimprove a plan, each\b|\bbest for its effort\b/, 'quickest wins first', 'best for its effort first'),
];

const NAMES: readonly Retired[] = [
  row(
    /"(?:mend|price|sentence|reached|wanted|ignored|screens_buy_at_most_db|most_in|spare_readings|stand_out|drowned|unforeseen|passed_over|as_one|suspects|late_ms|spare_deg|off_aim_deg|holds)":/,
    'fix, costs, text, value, role, …',
    '"mend": "x"',
  ),
  row(
    /\b(?:WRONG_SHAPE|BAD_QUANTITY|BAD_RANGE|BAD_PLACE|CAUTION)\b|\bMISSING\b/u,
    'WRONG_TYPE, BAD_VALUE, BAD_OPTION, OUT_OF_RANGE, BAD_POSITION, MISSING_KEY, WARNING',
    'BAD_RANGE at 3',
  ),
  row(
    /--(?:bands|no-moves|no-plan|beyond-folder|overwrite|best|by)\b(?!-)/,
    '--octaves, --no-fixes, --allow-outside, --force, --top, --sort',
    '--beyond-folder',
  ),
  row(
    /--show (?:now|later|cut|people|ears|headphones|main|plan|cautions|unsure)(?![-\w])/,
    '--show fixes, parts, edits, hearing, exposure, cue, main-pair, map, safety, uncertainty',
    '--show now',
  ),
];

const ODD: readonly Retired[] = [
  row(/\bof ours\b|\bour own\b|\bours\b/, 'this model; internal error', 'a bug of ours'),
  row(/\bis there already\b|\bare there already\b/, 'already exists', 'x.yaml is there already'),
  row(/\bwhole or not at all\b/, 'output file', 'write to a file, whole or not at all'),
  row(/\b(?:and|or) not at all\b|\bin full or\b/, '(plain words)', 'whole, or not at all'),
  row(
    /\bis no (?:number|name|plan|mic|length|list|map|text|quantity|option)\b|\bare no (?:numbers|lengths)\b/,
    'is not a …',
    '3,6 is no number',
  ),
  row(/\bthere is no microphone\b|\bmicrophone "/, 'no mic named', 'there is no microphone "X"'),
  row(/\bunsaid\b|\bif not said\b/, 'default', '20 and 50 if unsaid'),
  row(/\beither way\b/, '(say the sense in a whole sentence)', 'dB, either way'),
  row(
    /\bwhichever is finer\b|\blying or upright\b/,
    'landscape or portrait',
    'a4 or letter, lying or upright',
  ),
  row(/\bwhat becomes of\b/, 'planned edit', 'what becomes of the part'),
  row(/\bgo(?:es)? by (?:its|the)\b/, 'needs', 'goes by its area'),
  row(/\bmay be repeated\b/, 'repeatable', 'levels; may be repeated'),
  row(/\btakes a while\b/, 'slow', 'how likely limits hold; takes a while'),
  row(/\bwrite(?:s)? in the channels\b/, 'No channels in the plan: write them in.', 'Write in the channels'),
  row(/\bnearest sensible\b/, 'closest useful', 'nearest sensible microphone'),
  row(/\bways of playing\b|\(usual\)/, 'Techniques; (default)', 'Ways of playing: bowed (usual)'),
  row(/\bwhat lies over\b/, 'covers over sources', 'what lies over a source'),
  row(/\bself-same\b|\btherein\b|\bthereof\b|\bwherein\b|\bwhereby\b/, '(plain words)', 'whereby the room'),
  row(
    /\ban hour of work by\b|\bby ear while\b/,
    'set the null by ear with X playing',
    'set its null by ear while X plays',
  ),
  row(/\bthing(?:s)? got worse\b|\bgot worse\b/, 'regression', '1 thing got worse'),
  row(/\brows? the same\b/, 'unchanged', '2 rows the same: --all'),
  row(/\bsmaller losses than this\b/, 'ignore losses smaller than this', 'smaller losses than this are none'),
  row(
    /\bsingle cause of\b|\bexplains the readings better\b/,
    'No fault found; Most likely fault',
    'No single cause of 975 tried',
  ),
  row(/\bpassed over\b/, 'skipped', '3 columns passed over'),
  row(/\bread as one\b/, 'measured as one', 'Read as one, so that'),
  row(/\bthree things\b|\bis called for\b/, '(plain words)', 'is called for'),
  row(/\bin the place of\b/, 'instead of', 'put X in the place of Y'),
  row(/\bnot in any figure\b/, 'Not modelled', 'Not in any figure: room modes'),
  row(/\bnot sure about\b/, 'Assumed', 'Not sure about: 21 assumptions'),
  row(/\btrust the meter\b/, 'trust a meter over this value', 'trust the meter on the day'),
  row(/\bclamp it\b/, 'lock it off', 'clamp it, and set its null'),
  row(/\bmay last\b/, 'NIOSH limit', 'by NIOSH that may last 54 min'),
  row(/\bread it so\b/, 'In short', 'Read it so:'),
];

export const RETIRED: readonly Retired[] = [...CHANGES, ...SOUND, ...JUDGED, ...FIXES, ...NAMES, ...ODD];
