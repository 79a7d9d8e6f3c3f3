//! The table of what proof can find: name, level, stage, and why it matters. The checks stand in files of the same names.
//!
//! `Safety` marks what can hurt someone: such a finding is accepted only with a reason that says something.
//! Sorted by name; a test holds it to that, and another wants a case for each under `tests/proof`.

use crate::diagnostic::rule_table;

rule_table! {
    BARE_EYES "bare-eyes" Error Safety "a chip in the eye is quicker than the hand, and dust stays in the lungs";
    BARE_NUMBER "bare-number" Error Proof "a number without its unit is worked to in whichever unit the reader is used to";
    BARE_SKIN "bare-skin" Warning Safety "who does not know what the stuff does to skin and eyes takes no care of them";
    BENT_ARM "bent-arm" Error Proof "an adaptor in line makes the wrench longer, so the nut gets more than the wrench shows";
    BLUNT_GAUGE "blunt-gauge" Warning Proof "the gauge cannot tell a good part from a bad one";
    BRAND_WORD "brand-word" Hint Proof "a reader elsewhere does not know the maker's word, and takes it for an order to buy it";
    CLOSED_BORE "closed-bore" Warning Proof "a ring that grips round a bore closes it by more than its whole tolerance";
    COLD_DROP "cold-drop" Error Proof "a ring that is too cold sticks half way on, and one too hot is spoilt";
    COMMA_POINT "comma-point" Warning Proof "a reader who takes the comma the other way is out by a thousand times";
    CROSSED_CONDITION "crossed-condition" Error Proof "on oil the same torque clamps a third harder: the bolt stretches, or the joint is left loose";
    DEAD_LIFT "dead-lift" Error Safety "a load that nobody weighed, or that slips, crushes whoever is under it";
    DEAD_NUMBER "dead-number" Error Proof "whoever orders the old number gets the wrong part, or waits for one that is no longer made";
    DRY_LIP "dry-lip" Error Safety "a lip or an impeller that starts dry is burnt within seconds, and leaks from then on";
    ECHO_FIGURE "echo-figure" Hint Proof "it is right today and wrong after the next change, because nothing ties it to the figure";
    FALSE_FINE "false-fine" Hint Proof "places that nobody measured make a rounded value look exact";
    FILM_LIES "film-lies" Error Proof "whoever works from the film works to what the page no longer holds";
    FIT_MISREAD "fit-misread" Error Proof "a slipped row in the table makes a part that does not fit, or that fits too tightly to come off";
    FUEL_AND_SPARK "fuel-and-spark" Error Safety "fuel takes fire at a spark, and a jet of it goes through the skin";
    GALLED "galled" Warning Proof "stainless on stainless seizes when it is dry, and shears when it is undone";
    GHOST_TOOL "ghost-tool" Warning Proof "the reader is half way through the job before the tool is missed, and takes what is at hand instead";
    HALF_BOXED_JOB "half-boxed-job" Error Safety "what make safe took away and nobody gives back is missing when the machine is used";
    HARD_GOING "hard-going" Hint Proof "a step that must be read twice is read once, with a spanner in the hand";
    HEARSAY "hearsay" Warning Proof "a figure that nobody can look up cannot be checked when it is doubted";
    HOLE_IN_THE_BOAT "hole-in-the-boat" Error Safety "the sea comes in faster than anyone can bail";
    HOOP_SPLIT "hoop-split" Error Proof "a ring that is loaded beyond its yield stretches for good or splits";
    HOT_HANDS "hot-hands" Error Safety "hot parts look like cold ones, burn at a touch and set fire to what lies near";
    IDLE_TOOL "idle-tool" Hint Proof "the reader looks for a tool that the job does not need, and trusts the next list less";
    LATE_CLAPPER "late-clapper" Error Proof "a reader who touches the time must see what is promised there";
    LATE_WARNING "late-warning" Error Safety "who has done the row already reads the warning too late";
    LEFT_HANDED "left-handed" Warning Proof "seen from the other end it is the other way, and the nut is tightened until it breaks";
    LET_OUT "let-out" Warning Proof "whoever works to the second unit passes work that the first refuses";
    LIMITS_CROSSED "limits-crossed" Error Proof "nothing can be inside limits that contradict themselves, and nobody can tell which end is right";
    LIVE_SHAFT "live-shaft" Error Safety "someone else can start it while hands are in it";
    LIVE_WIRE "live-wire" Error Safety "current gives no sign before it strikes, and battery gas explodes at a spark";
    LONE_FIGURE "lone-figure" Warning Proof "what is declared nowhere cannot be found, converted, printed in the margin or put right";
    LOST_POINT "lost-point" Warning Proof "ten times the torque breaks the thread, and a tenth lets the joint come loose";
    MISSING_THREAD "missing-thread" Error Proof "parts whose threads differ do not go together, or strip when they are forced";
    MIXED_MEASURE "mixed-measure" Error Proof "a figure in the wrong kind of unit cannot be worked to, and guessing what was meant can hurt";
    MUMBLED_NUMBER "mumbled-number" Warning Proof "a number that was misheard looks like any other";
    NO_BOX "no-box" Warning Proof "a reading with no place to go is not written down, and its limits are not seen beside it";
    NO_CONDITION "no-condition" Warning Proof "oil on the thread changes the clamp of the same torque by a third";
    NO_HULL "no-hull" Warning Proof "the owner of the other machine takes the figure for his own";
    NO_PICTURE_WORDS "no-picture-words" Warning Proof "what stands only in a picture cannot be searched, converted, corrected or read aloud";
    NOMINAL_SWAP "nominal-swap" Error Proof "parts of inch and millimetre sizes do not go together although the rounding looks honest";
    ORPHAN_NOTICE "orphan-notice" Warning Proof "a warning that nobody meets warns nobody";
    OUT_OF_LIMITS "out-of-limits" Error Proof "whoever reads it takes the next worn part as good as well";
    OVER_EXACT_TARGET "over-exact-target" Warning Proof "without limits nobody learns how far is too far";
    OVERWORKED "overworked" Error Proof "a part that is asked for more than it bears fails in service, whatever the fitter does";
    PAPER_TIGHT "paper-tight" Warning Proof "each part is in its limits and the two together are not what was wanted";
    PASSIVE_HAND "passive-hand" Hint Proof "a step that orders nobody is done by nobody";
    PROSE_DRIFT "prose-drift" Error Proof "prose is what gets read out at the bench, and it says another value than the figure";
    RISE_OR_READING "rise-or-reading" Error Proof "the 32 °F belong to a temperature, not to a rise: the part would be far too hot or too cold";
    SHORT_KIT "short-kit" Warning Proof "the reader opens the bag with the machine in pieces and finds a part missing";
    SHORT_WRENCH "short-wrench" Error Proof "a wrench past the end of its scale breaks or lies, and the torque is guessed";
    SILENT_CHANGE "silent-change" Error Proof "somebody has the old one on the bench wall and is not told";
    SLACK_TORQUE "slack-torque" Hint Proof "a joint that people depend on works loose when it is hardly clamped";
    SLIP_GRIP "slip-grip" Warning Proof "the joint slips under load although it feels tight";
    SLIPPED_UNIT "slipped-unit" Error Proof "the page says two things, and the reader works to whichever unit is on the tool";
    SOFT_SEAT "soft-seat" Warning Proof "a soft thread strips before the bolt is tight, and the part is lost";
    SPARE_PART "spare-part" Hint Proof "the reader buys a part and does not learn where it goes, or a step has been lost";
    SPRING_BACK "spring-back" Error Safety "stored force lets go at once and takes the tool or the part with it";
    STALE_GAUGE "stale-gauge" Warning Proof "a figure is as good as the day on which somebody last looked at it";
    STEP_SKIPS "step-skips" Warning Proof "a reader who is sent to a step that is not there loses the place";
    STRAY_PART "stray-part" Warning Proof "the reader starts the job without the part, and finds out with the machine in pieces";
    STRAY_SHEET "stray-sheet" Hint Proof "what nothing leads to is read by nobody at the moment that it would help";
    STRIP_TORQUE "strip-torque" Error Proof "a bolt that has been stretched does not look stretched, and breaks later";
    SUM_ADRIFT "sum-adrift" Error Proof "the sum is right for another part than the one that the library declares";
    SUM_WRONG "sum-wrong" Error Proof "owners copy the answer, not the sum";
    TABLE_DRIFT "table-drift" Error Proof "a table pinned to the wall is believed before the page that it was copied from";
    TURNED_OVER "turned-over" Error Proof "the page says two things, and one of them can break the part";
    TWIN_NUMBER "twin-number" Warning Proof "one slip of eye or hand orders another part that looks right until it is fitted";
    TWO_JOBS_IN_ONE "two-jobs-in-one" Hint Proof "greasy hands lose their place in a long step";
    TWO_TALES "two-tales" Error Proof "the reader works to whichever of the two values is found first";
    UNRATED_JOB "unrated-job" Hint Proof "an owner decides by time and difficulty whether to begin at all";
    USE_TWICE "use-twice" Error Proof "a tab or pin that is bent twice breaks, and what it locked comes loose";
    VAGUE_TENTH "vague-tenth" Warning Proof "two readers take the same word for two measures";
    WARM_MEASURE "warm-measure" Warning Proof "a warm part reads large: 60 mm of steel that are 30 K warm read 21 µm over";
    WRONG_CASE "wrong-case" Warning Proof "in units, letter case tells a thousandth from a thousand";
    WRONG_HULL "wrong-hull" Error Proof "a part or figure of the other machine fits badly, or seems to fit and fails";
    WRONG_WORD "wrong-word" Warning Safety "readers take care by the signal word, and stop believing words that cry too loud";
}
