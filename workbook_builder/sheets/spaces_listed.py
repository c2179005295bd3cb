"""What the list of circuits says of a job, and the legs of the added panel."""

from __future__ import annotations

from .model import Column

OF_JOB = "{all.circuit_job_row}, [row_number]"
READY = '{all.circuit_state}, "ready"'
MOVES = '{all.action}, "move"'

CIRCUIT_LIST = (
    Column("listed_moves", f"COUNTIFS({OF_JOB}, {READY}, {MOVES})"),
    Column("listed_1pole", f"COUNTIFS({OF_JOB}, {READY}, {MOVES}, {{all.poles}}, 1)"),
    Column("listed_2pole", f"COUNTIFS({OF_JOB}, {READY}, {MOVES}, {{all.poles}}, 2)"),
    Column("listed_freed", "[listed_1pole]+2*[listed_2pole]"),
    Column(
        "listed_removed",
        f'SUMIFS({{all.poles}}, {OF_JOB}, {READY}, {{all.panel}}, "main", {{all.circuit_stays}}, "no")',
    ),
    Column("listed_move_va", f"SUMIFS({{all.circuit_va}}, {OF_JOB}, {MOVES})"),
    Column(
        "listed_reaches_1pole",
        f'COUNTIFS({OF_JOB}, {READY}, {MOVES}, {{all.poles}}, 1, {{all.cable_reaches}}, "yes")',
    ),
    Column(
        "listed_reaches_2pole",
        f'COUNTIFS({OF_JOB}, {READY}, {MOVES}, {{all.poles}}, 2, {{all.cable_reaches}}, "yes")',
    ),
    Column(
        "listed_shared",
        'SUMPRODUCT(({all.circuit_job_row}=[row_number])*({all.action}="move")'
        '*({all.poles}=1)*({all.group_key}<>""))',
    ),
    Column("listed_aluminum", f'COUNTIFS({OF_JOB}, {READY}, {MOVES}, {{all.condition}}, "aluminum")'),
    Column(
        "listed_added",
        f'COUNTIFS({OF_JOB}, {{all.panel}}, "added", {{all.circuit_stays}}, "yes", {{all.position}}, ">0")',
    ),
    Column("listed_leg_a_va", f"SUMIFS({{all.added_leg_a_va}}, {OF_JOB})"),
    Column("listed_leg_b_va", f"SUMIFS({{all.added_leg_b_va}}, {OF_JOB})"),
    Column("listed_stops", f'COUNTIFS({OF_JOB}, {{all.circuit_stop}}, "yes")'),
    *(
        Column(f"listed_{kind}_checks", f'COUNTIFS({OF_JOB}, {READY}, {{all.{kind}_state}}, "CHECK*")')
        for kind in ("from", "wire", "suggested")
    ),
    Column("suggested_moves", f'COUNTIFS({OF_JOB}, {READY}, {{all.move_suggested}}, "yes")'),
    Column("spaces_freed", "MAX([spaces_dropped], [listed_removed])"),
    Column("move_1pole_used", "IF([listed_moves]>0, [listed_1pole], [move_1pole])"),
    Column("move_2pole_used", "IF([listed_moves]>0, [listed_2pole], [move_2pole])"),
    Column(
        "list_differs",
        "IF(AND([listed_moves]>0, [move_1pole]+[move_2pole]>0, "
        'OR([listed_1pole]<>[move_1pole], [listed_2pole]<>[move_2pole])), "yes", "no")',
    ),
    Column(
        "list_state",
        'IF([listed_stops]>0, "STOP: the circuit list has a STOP", IF([suggested_moves]>0, '
        '"CHECK: circuits are suggested to move; set their action so that their load counts", '
        'IF([list_differs]="yes", "CHECK: the list and the counts differ", "OK")))',
    ),
)

LEGS = (
    Column(
        "leg_one_pole_va",
        'IF([moved_1pole_total]=0, 0, IF(AND([move_kva]="", [listed_moves]=0), {move_1pole_load}, '
        "[moved_va]/([moved_1pole_total]+2*[move_2pole_used])))",
    ),
    Column(
        "leg_a_va",
        "IF([listed_added]>0, [listed_leg_a_va]+MAX([feeder_plain_va]-[listed_leg_a_va]-[listed_leg_b_va], 0)/2, "
        "([feeder_plain_va]-[moved_1pole_total]*[leg_one_pole_va])/2"
        "+[leg_one_pole_va]*ROUNDUP(ROUND([moved_1pole_total]/2, 6), 0))",
    ),
    Column("leg_b_va", "IF([listed_added]>0, [listed_leg_b_va]+MAX([feeder_plain_va]-[listed_leg_a_va]-[listed_leg_b_va], 0)/2, [feeder_plain_va]-[leg_a_va])"),
    Column(
        "leg_unbalance_percent",
        "IF(MAX([leg_a_va], [leg_b_va])=0, 0, "
        "ABS([leg_a_va]-[leg_b_va])/MAX([leg_a_va], [leg_b_va])*{percent})",
    ),
    Column(
        "leg_state",
        "IF(AND([leg_unbalance_percent]>{unbalance_target}, [listed_added]>0), "
        '"CHECK: the legs differ by more than the target", "OK")',
    ),
)
