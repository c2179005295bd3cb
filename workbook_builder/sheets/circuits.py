"""The list of circuits: entries as used, spaces, shared neutrals, what may move and where it may stand.

Texts that people type are compared with `=` in SUMPRODUCT, never as criteria of
COUNTIFS, where `*` and `?` would be patterns. Columns that hold blanks are
summed and counted by criteria, or compared, and never multiplied.
"""

from __future__ import annotations

from ..code_tables.load import load
from .circuits_place import PLACING
from .inputs import field_formula
from .model import CIRCUIT_GRID, CIRCUIT_JOB_ROW, CIRCUIT_STATE, JOB_NUMBER, Column, Sheet
from .texts import begins

FIELDS = load().circuit_fields
FIRST_ENTRY, LAST_ENTRY = FIELDS[1].name, FIELDS[-1].name
ENTRIES = f"{FIRST_ENTRY}:{LAST_ENTRY}"
"""The entries that can be invalid or missing; job_no is looked at by itself."""
CHECKS = "check_circuit_job:check_circuit_action"

STATE_FORMULA = (
    'IF([job_no]="", "", IF([circuit_invalid]>0, "error: "&[circuit_first_invalid]&IF([circuit_invalid]>1, '
    '" (and "&([circuit_invalid]-1)&" more)", ""), IF([circuit_missing]>0, '
    f'"missing: "&INDEX({{names:{ENTRIES}}}, 1, MATCH("missing", [{ENTRIES}], 0))&'
    'IF([circuit_missing]>1, " (and "&([circuit_missing]-1)&" more)", ""), "ready")))'
)


def of_row(name: str, formula: str) -> Column:
    """A column that is there for every row with a job number, ready or not."""
    return Column(name, f'IF([job_no]="", "", {formula})', guarded=False)


def same_group(*tests: str) -> str:
    """Number of circuits with the group key of this one that pass the tests."""
    return f"SUMPRODUCT({'*'.join(('({all.group_key}=[group_key])', *tests))})"


def in_spaces(key: str) -> str:
    """How many times a space is taken by another circuit."""
    return f"SUMPRODUCT(({{all.space_key}}=[{key}])+({{all.second_space_key}}=[{key}]))-1"


def on_leg(leg: str) -> str:
    """The load of a circuit of the added panel on one leg."""
    return (
        'IF(OR([panel]="main", [circuit_stays]="no", [position]=""), 0, '
        f'IF([poles]=2, [circuit_va]/2, IF([circuit_leg]="{leg}", [circuit_va], 0)))'
    )


CROSS_CHECKS = (
    of_row(
        CIRCUIT_JOB_ROW,
        'SUMPRODUCT(({all.job.job_no}=[job_no])*({all.row_state}="ready")*{all.job.row_number})',
    ),
    of_row("check_circuit_job", 'IF(OR([job_no]="invalid", [circuit_job_row]>0), "ok", "invalid")'),
    of_row(
        "check_circuit_poles",
        'IF(OR([position]="", ISTEXT([position]), ISTEXT([poles])), "ok", '
        'IF(AND([poles]=2, [position]+2>{panel_positions}), "invalid", "ok"))',
    ),
    of_row("check_circuit_action", 'IF(AND([action]="move", [panel]="main"), "invalid", "ok")'),
    of_row(
        "circuit_invalid",
        f'IF([job_no]="invalid", 1, 0)+COUNTIF([{ENTRIES}], "invalid")+COUNTIF([{CHECKS}], "invalid")',
    ),
    of_row("circuit_missing", f'COUNTIF([{ENTRIES}], "missing")'),
    of_row(
        "circuit_first_invalid",
        'IF([circuit_invalid]=0, "", '
        f'IF([job_no]="invalid", INDEX({{messages:job_no:{FIRST_ENTRY}}}, 1, 1), '
        f'IFERROR(INDEX({{messages:{ENTRIES}}}, 1, MATCH("invalid", [{ENTRIES}], 0)), '
        f'INDEX({{messages:{CHECKS}}}, 1, MATCH("invalid", [{CHECKS}], 0)))))',
    ),
)

LOAD = (
    Column("circuit_stays", 'IF([action]="remove", "no", "yes")'),
    Column(
        "circuit_va",
        'IF([load_va]<>"", [load_va], IF([poles]=2, {move_2pole_load}, {move_1pole_load}))',
    ),
    Column(
        "circuit_neutral_va",
        'IF(OR([has_neutral]="yes", AND([has_neutral]="", [poles]=1)), [circuit_va], 0)',
    ),
    Column(
        "circuit_leg",
        'IF([position]="", "", IF(MOD(INT(ROUND(([position]+1)/2, 6)), 2)=1, "A", "B"))',
    ),
    Column("added_leg_a_va", on_leg("A")),
    Column("added_leg_b_va", on_leg("B")),
)

POSITION = (
    Column(
        "space_key",
        'IF(OR([position]="", [circuit_stays]="no"), "", [circuit_job_row]&"|"&[panel]&"|"&[position])',
    ),
    Column(
        "second_space_key",
        'IF(OR([space_key]="", [poles]=1), "", [circuit_job_row]&"|"&[panel]&"|"&([position]+2))',
    ),
    Column(
        "same_space",
        f'IF([space_key]="", 0, {in_spaces("space_key")}'
        f'+IF([second_space_key]="", 0, {in_spaces("second_space_key")}))',
    ),
    Column("panel_spaces", 'IF([panel]="main", [job.main_spaces], [job.added_spaces_chosen])'),
    Column(
        "position_state",
        'IF([space_key]="", "OK", IF([same_space]>0, "STOP: two circuits stand in one space", '
        'IF([panel_spaces]="", "OK", IF([panel_spaces]<[position]+2*([poles]-1), '
        '"STOP: the position is beyond the panel", "OK"))))',
    ),
    Column(
        "from_state",
        'IF([from_position]="", "OK", IF([from_position]+2*([poles]-1)>[job.main_spaces], '
        '"CHECK: the space it came from is beyond the main panel", "OK"))',
    ),
)

MULTIWIRE = (
    Column(
        "group_key",
        'IF(OR([multiwire_group]="", [circuit_stays]="no"), "", [circuit_job_row]&"|"&[multiwire_group])',
    ),
    Column(
        "group_earlier",
        f'IF([group_key]="", "", {same_group("({all.row_number}<[row_number])")})',
    ),
    Column("group_members", f'IF([group_key]="", 0, {same_group("1")})'),
    Column("group_here", f'IF([group_key]="", 0, {same_group("({all.panel}=[panel])")})'),
    Column("group_placed", 'IF([group_key]="", 0, ' + same_group('({all.circuit_leg}<>"")') + ")"),
    Column(
        "group_other_leg",
        'IF(OR([group_key]="", [circuit_leg]=""), 0, '
        + same_group('({all.circuit_leg}<>"")', "({all.circuit_leg}<>[circuit_leg])")
        + ")",
    ),
    Column(
        "neutral_leg_state",
        'IF([poles]=2, "OK", IF([group_members]>2, "STOP: more than two circuits share a neutral", '
        "IF(AND([group_placed]=2, [group_other_leg]=0), "
        '"STOP: circuits that share a neutral stand on one leg", IF([group_members]=1, '
        '"CHECK: the other circuit is not listed", "OK"))))',
    ),
    Column(
        "shared_neutral_state",
        'IF([group_key]="", "OK", IF([group_here]<[group_members], '
        '"STOP: circuits that share a neutral stand in two panels", '
        '[neutral_leg_state]))',
    ),
    Column(
        "multiwire_state",
        'IF([group_key]="", "OK", IF([shared_neutral_state]<>"OK", [shared_neutral_state], '
        'IF([action]<>"keep", "CHECK: one handle or a tie for the circuits that share a neutral", "OK")))',
    ),
)

MOVING = (
    Column(
        "condition_state",
        'IF([condition]="three wire", '
        '"STOP: a three-wire range or dryer circuit stays at the service or is rewired", '
        'IF([condition]="aluminum", "CHECK: aluminum needs its own connectors", "OK"))',
    ),
    Column(
        "move_state",
        'IF([action]<>"move", "OK", IF([condition_state]<>"OK", [condition_state], '
        'IF(OR([condition]="cloth", [condition]="ungrounded"), '
        '"CHECK: old insulation may not stand being moved", '
        'IF([priority]="alarm", "CHECK: an alarm or pump circuit is out while it moves", "OK"))))',
    ),
    Column(
        "arc_fault_extended",
        'IF(AND([action]="move", IFERROR([job.moved_ext_ft]-{arc_fault_extension}, 0)>0), "yes", "no")',
    ),
    Column(
        "arc_fault_state",
        'IF(OR([poles]=2, [breaker_a]>{arc_fault_breaker}, [protection]="AFCI", [protection]="both"), "OK", '
        'IF([action]="new", "CHECK: new circuit: arc-fault protection in living space", '
        'IF([arc_fault_extended]="yes", '
        '"CHECK: extended so far: arc-fault protection", "OK")))',
    ),
    Column("wire_row", "IFERROR(MATCH([wire], {small_conductor.size}, 0), 0)"),
    Column(
        "wire_limit_a",
        'IF([wire_row]=0, "", IF(INDEX({small_conductor}, [wire_row], IF([condition]="aluminum", 2, 1))>0, '
        'INDEX({small_conductor}, [wire_row], IF([condition]="aluminum", 2, 1)), ""))',
    ),
    Column(
        "wire_state",
        'IF([wire_limit_a]="", "OK", IF([breaker_a]>[wire_limit_a], "CHECK: the breaker is over the limit '
        'of small conductors; motor circuits follow their own rules", "OK"))',
    ),
    Column(
        "circuit_stop",
        f"IF(OR({begins('position_state', 'STOP')}, {begins('multiwire_state', 'STOP')}, "
        f'{begins("move_state", "STOP")}), "yes", "no")',
    ),
)

CIRCUIT_SHEET = Sheet(
    name="Circuit check",
    title="Circuits as used",
    note="What the list of circuits says, what is wrong with it and what it suggests; "
    "change nothing here, type in Circuits.",
    grid=CIRCUIT_GRID,
    columns=(
        Column(JOB_NUMBER, field_formula(FIELDS[0]), guarded=False),
        Column(CIRCUIT_STATE, STATE_FORMULA, guarded=False),
        *(Column(field.name, field_formula(field), guarded=False) for field in FIELDS[1:]),
        *CROSS_CHECKS,
        *LOAD,
        *POSITION,
        *MULTIWIRE,
        *MOVING,
        *PLACING,
    ),
)
