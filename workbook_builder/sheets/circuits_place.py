"""Which circuits had better move, in which order, and the positions that balance the legs."""

from __future__ import annotations

from .model import Column

SAME_JOB = "{all.circuit_job_row}, [circuit_job_row]"
TO_PLACE = '{all.to_place}, "yes"'
OF_JOB = '({all.circuit_job_row}=[circuit_job_row])*({all.to_place}="yes")*({all.poles}=1)'
"""One-pole circuits of the same job that are to be placed."""
EARLIER = "({all.row_number}<[row_number])"
EARLIER_ROWS = '{all.row_number}, "<"&[row_number]'

PARAMETERS_OF_COST = (
    'IF([cable_reaches]="yes", 0, {move_cost_splice})'
    '+IF(OR([condition]="cloth", [condition]="ungrounded"), {move_cost_old}, 0)'
    '+IF([condition]="aluminum", {move_cost_aluminum}, 0)'
    "+IF([circuit_neutral_va]>0, {move_cost_neutral}, 0)-IF([poles]=2, {move_gain_two_pole}, 0)"
)


def placed(formula: str) -> str:
    """Blank where the circuit is not to be placed in the added panel."""
    return f'IF([to_place]="no", "", {formula})'


def down(steps: str, size: str) -> str:
    """Whole number of times that a size goes into some steps."""
    return f"INT(ROUND(({steps})/({size}), 6))"


def standing(key: str) -> str:
    """How many times a listed circuit stands in a space."""
    return f"SUMPRODUCT(({{all.space_key}}=[{key}])+({{all.second_space_key}}=[{key}]))"


WHICH = (
    Column(
        "may_move",
        'IF(AND([panel]="main", [action]="keep", [condition]<>"three wire", [multiwire_group]="", '
        '[priority]<>"alarm"), "yes", "no")',
    ),
    Column("move_cost", PARAMETERS_OF_COST),
    Column(
        "move_order",
        'IF([may_move]="no", "", 1'
        f'+COUNTIFS({SAME_JOB}, {{all.may_move}}, "yes", {{all.move_cost}}, "<"&[move_cost])'
        f'+COUNTIFS({SAME_JOB}, {{all.may_move}}, "yes", {{all.move_cost}}, [move_cost], {EARLIER_ROWS}))',
    ),
    Column(
        "freed_before",
        f'IF([move_order]="", "", SUMIFS({{all.poles}}, {SAME_JOB}, {{all.move_order}}, "<"&[move_order]))',
    ),
    Column(
        "move_suggested",
        'IF([move_order]="", "no", '
        'IF([freed_before]+[job.listed_freed]<[job.circuits_to_move], "yes", "no"))',
    ),
    Column("leaves", 'IF(OR([action]="move", [move_suggested]="yes"), "yes", "no")'),
    Column(
        "leaves_key",
        'IF([leaves]="no", "", [circuit_job_row]&"|leaves|"&(SUMPRODUCT('
        '({all.circuit_job_row}=[circuit_job_row])*({all.leaves}="yes")*({all.row_number}<[row_number]))+1))',
    ),
)

WHERE = (
    Column(
        "to_place",
        'IF(OR(AND([panel]="added", [circuit_stays]="yes"), [move_suggested]="yes"), "yes", "no")',
    ),
    Column(
        "group_first",
        'IF(AND([to_place]="yes", [group_key]<>"", [poles]=1, [group_members]=2, [group_here]=2), '
        "SUMPRODUCT(({all.group_key}=[group_key])*({all.group_earlier}=0)*{all.row_number}), 0)",
    ),
    Column(
        "shared_before",
        'IF(OR([to_place]="no", [poles]=2, [group_first]=0), "", '
        f"SUMPRODUCT({OF_JOB}*({{all.group_first}}>0)*(({{all.group_first}}<[group_first])"
        f"+({{all.group_first}}=[group_first])*{EARLIER})))",
    ),
    Column(
        "single_before",
        'IF(OR([to_place]="no", [poles]=2, [group_first]>0), "", '
        f"SUMPRODUCT({OF_JOB}*(({{all.group_first}}>0)+({{all.group_first}}=0)"
        f"*(({{all.circuit_va}}>[circuit_va])+({{all.circuit_va}}=[circuit_va])*{EARLIER}))))",
    ),
    Column(
        "place_order",
        placed(
            f"1+IF([poles]=2, COUNTIFS({SAME_JOB}, {TO_PLACE}, {{all.poles}}, 2, {EARLIER_ROWS}), "
            "IF([group_first]>0, [shared_before], [single_before]))"
        ),
    ),
    Column(
        "two_pole_rows",
        placed(f"2*ROUNDUP(ROUND(COUNTIFS({SAME_JOB}, {TO_PLACE}, {{all.poles}}, 2)/2, 6), 0)"),
    ),
    Column(
        "suggested_position",
        placed(
            f"IF([poles]=2, 2*2*{down('[place_order]-1', '2')}+2-MOD([place_order], 2), "
            f"2*[two_pole_rows]+2*2*{down('[place_order]-1', '2*2')}+IF(MOD([place_order], 2*2)=1, 1, "
            "IF(MOD([place_order], 2*2)=0, 2, MOD([place_order], 2*2)+1)))"
        ),
    ),
    Column(
        "suggested_key",
        'IF(OR([suggested_position]="", AND([panel]="added", [position]<>"")), "", '
        '[circuit_job_row]&"|added|"&[suggested_position])',
    ),
    Column(
        "suggested_second_key",
        'IF(OR([suggested_key]="", [poles]=1), "", [circuit_job_row]&"|added|"&([suggested_position]+2))',
    ),
    Column(
        "suggested_taken",
        f'IF([suggested_key]="", 0, {standing("suggested_key")}'
        f'+IF([suggested_second_key]="", 0, {standing("suggested_second_key")}))',
    ),
    Column(
        "suggested_state",
        'IF([suggested_key]="", "OK", '
        "IF(IFERROR([suggested_position]+2*([poles]-1)-[job.added_spaces_chosen], 0)>0, "
        '"CHECK: the suggested space is beyond the added panel", IF([suggested_taken]>0, "CHECK: a listed '
        'circuit stands in the suggested space", "OK")))',
    ),
)
"""Four one-pole circuits fill two panel rows: 1 and 3 on the left, 4 and 2 on the right, legs A, B, B, A."""

PLACING = (*WHICH, *WHERE)
