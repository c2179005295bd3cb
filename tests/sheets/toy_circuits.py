"""A small grid of circuits, and a sheet of jobs that counts them, for tests of both grids together."""

from __future__ import annotations

from workbook_builder.code_tables.load import load
from workbook_builder.sheets.inputs import INPUTS, field_formula
from workbook_builder.sheets.model import CIRCUIT_GRID, Column, Sheet

FIELDS = load().circuit_fields
ENTRIES = f"{FIELDS[1].name}:{FIELDS[-1].name}"

STATE = (
    f'IF([job_no]="", "", IF(COUNTIF([{ENTRIES}], "invalid")>0, "error: an entry", '
    f'IF([check_circuit_job]="invalid", "error: "&INDEX({{messages:circuit_job_row:check_circuit_job}}, 1, 2), '
    f'IF(COUNTIF([{ENTRIES}], "missing")>0, "missing: an entry", "ready"))))'
)

TOY_CHECK = Sheet(
    name="Circuit check",
    title="Circuits as used",
    note="What the list of circuits says; change nothing here, type in Circuits.",
    grid=CIRCUIT_GRID,
    columns=(
        Column("job_no", field_formula(FIELDS[0]), guarded=False),
        Column("circuit_state", STATE, guarded=False),
        *(Column(field.name, field_formula(field), guarded=False) for field in FIELDS[1:]),
        Column(
            "circuit_job_row",
            'IF([job_no]="", "", SUMPRODUCT(({all.job.job_no}=[job_no])*({all.row_state}="ready")'
            "*{all.job.row_number}))",
            guarded=False,
        ),
        Column(
            "check_circuit_job",
            'IF([job_no]="", "", IF([circuit_job_row]>0, "ok", "invalid"))',
            guarded=False,
        ),
        Column("circuit_stays", 'IF([action]="remove", "no", "yes")'),
        Column(
            "circuit_va",
            'IF([load_va]<>"", [load_va], IF([poles]=2, {move_2pole_load}, {move_1pole_load}))',
        ),
        Column("circuit_leg", 'IF([position]="", "", IF(MOD(INT(ROUND(([position]+1)/2, 6)), 2)=1, "A", "B"))'),
        Column(
            "space_key",
            'IF(OR([position]="", [circuit_stays]="no"), "", [circuit_job_row]&"|"&[panel]&"|"&[position])',
        ),
        Column(
            "second_space_key",
            'IF(OR([space_key]="", [poles]=1), "", [circuit_job_row]&"|"&[panel]&"|"&([position]+2))',
        ),
        Column("panel_spaces", 'IF([panel]="main", [job.main_spaces], "")'),
        Column(
            "position_state",
            'IF([space_key]="", "OK", IF(COUNTIFS({all.space_key}, [space_key])>1, '
            '"STOP: two circuits stand in one space", "OK"))',
        ),
    ),
)

TOY_COUNTS = Sheet(
    name="Spaces",
    title="Spaces",
    note="What the list of circuits says of each job.",
    columns=(
        Column("listed_moves", 'COUNTIFS({all.circuit_job_row}, [row_number], {all.action}, "move")'),
        Column(
            "listed_move_va",
            'SUMIFS({all.circuit_va}, {all.circuit_job_row}, [row_number], {all.action}, "move")',
        ),
        Column("spaces_state", "IF([listed_moves]>[main_spaces_used], "
               '"STOP: more circuits would have to move than the main panel holds", "OK")'),
    ),
)  # fmt: skip

TOY_SHEETS = (INPUTS, TOY_CHECK, TOY_COUNTS)
