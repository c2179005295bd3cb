"""Four ways to serve the house: which of them work, why not, and the least costly."""

from __future__ import annotations

from .model import Column, Sheet
from .texts import begins

OFFERED = "{choices.service_a}"
REPLACE = "No: the present panel is to be replaced, not extended."
WAYS = {
    "existing spaces": "existing_spaces",
    "added panel": "added_panel",
    "load control": "load_control",
    "larger service": "larger_service",
}
"""The words of option_wanted and how the columns of each way begin."""


def first_given(*names: str, otherwise: str) -> str:
    """The first text that is not blank."""
    formula = otherwise
    for name in reversed(names):
        formula = f'IF([{name}]<>"", [{name}], {formula})'
    return formula


def first_stop(*states: str) -> str:
    """The first state that begins with STOP."""
    formula = '""'
    for state in reversed(states):
        formula = f"IF({begins(state, 'STOP')}, [{state}], {formula})"
    return formula


def amount_up(name: str) -> str:
    """The amount of a negative number in whole units, rounded up."""
    return f"ROUNDUP(ROUND(-[{name}], 6), 0)"


def whole(name: str) -> str:
    """A number in whole units, rounded down."""
    return f"ROUNDDOWN(ROUND([{name}], 6), 0)"


def remain(way: str) -> str:
    """What a way that works leaves in amperes and spaces."""
    return f'{whole(way + "_spare_a")}&" A and "&[{way}_spare_spaces]&" spaces remain."'


def few_spaces(way: str, otherwise: str) -> str:
    """Too few spare spaces for the growth wanted."""
    return (
        f"IF([{way}_spare_spaces]<[spare_wanted], "
        f'"No: spaces are short by "&([spare_wanted]-[{way}_spare_spaces])&" for the growth wanted.", '
        f"{otherwise})"
    )


def feasible(way: str) -> Column:
    """A way works where its reason begins with Yes."""
    return Column(f"{way}_feasible", f'IF({begins(way + "_reason", "Yes")}, "yes", "no")')


def of_chosen(ending: str) -> str:
    """One column of the way that is chosen."""
    formula = '""'
    for words, way in reversed(WAYS.items()):
        formula = f'IF([option_chosen]="{words}", [{way}_{ending}], {formula})'
    return formula


WANTED = (
    Column(
        "house_state",
        'IF([panel_condition]="corroded or unlisted", '
        '"STOP: the present panel is to be replaced, not extended", "OK")',
    ),
    Column("load_stop", first_stop("load_method_state", "cooking_state", "edition_state")),
    Column(
        "data_stop",
        'IF([load_stop]="", "", "No: "&SUBSTITUTE([load_stop], "STOP: ", "")&".")',
    ),
    Column("new_spaces", "[planned_spaces]+[source_spaces]+IF([generator_inlet_a]>0, 2, 0)"),
    Column("spare_wanted", "ROUNDUP(ROUND([growth_percent]/{percent}*[new_spaces], 6), 0)"),
    Column(
        "source_stop",
        f'IF(OR([main_bus_check]="STOP", [added_bus_check]="STOP", {begins("inlet_state", "STOP")}), "yes", "no")',
    ),
    Column(
        "existing_source_stop",
        f'IF(OR([existing_bus_check]="STOP", {begins("inlet_state", "STOP")}), "yes", "no")',
    ),
)

EXISTING_SPACES = (
    Column("two_pole_spaces_new", "[new_spaces]-[add_1pole]"),
    Column("existing_spaces_spare_a", "[service_spare_a]"),
    Column(
        "existing_spaces_spare_spaces", "[spaces_free]+[spaces_freed]+[two_circuit_spaces]-[new_spaces]"
    ),
    Column("replace_stop", f'IF([data_stop]<>"", [data_stop], IF([house_state]="OK", "", "{REPLACE}"))'),
    Column("full_spaces_short", "MAX([two_pole_spaces_new]-[spaces_free]-[spaces_freed]-[two_circuit_spaces], 0)"),
    Column(
        "existing_place_stop",
        first_given(
            "replace_stop",
            otherwise='IF([panel_place]="other building", "No: the loads stand in another building.", '
            'IF([existing_spaces_spare_a]<0, "No: the service is short by "&'
            + amount_up("existing_spaces_spare_a")
            + '&" A.", ""))',
        ),
    ),
    Column(
        "existing_room_stop",
        'IF([full_spaces_short]>0, "No: the breakers need "&[full_spaces_short]&" more full spaces.", '
        + few_spaces(
            "existing_spaces",
            'IF([existing_source_stop]="yes", "No: the main bus or the inlet stops the sources.", "")',
        )
        + ")",
    ),
    Column(
        "existing_spaces_reason",
        first_given(
            "existing_place_stop", "existing_room_stop", otherwise=f'"Yes: "&{remain("existing_spaces")}'
        ),
    ),
    feasible("existing_spaces"),
)

ADDED_PANEL = (
    Column("added_panel_spare_a", "[service_spare_a]"),
    Column(
        "added_panel_spare_spaces",
        'IF([added_spaces_chosen]="", "", [added_spaces_chosen]-[added_circuit_spaces]'
        "+MAX([spaces_free]+[spaces_freed]+[moved_1pole_total]+2*[move_2pole_used]-[incoming_spaces], 0))",
    ),
    Column("design_stop_breaker", first_stop("spaces_state", "breaker_state", "conductor_state")),
    Column("design_stop_run", first_stop("wiring_state", "egc_state", "raceway_state")),
    Column("design_stop_panel", first_stop("moved_state", "three_wire_state", "added_panel_state")),
    Column("design_stop_place", first_stop("feeder_source_state", "working_space_state")),
    Column(
        "added_design_stop",
        "SUBSTITUTE("
        + first_given(
            "design_stop_breaker", "design_stop_run", "design_stop_panel", otherwise="[design_stop_place]"
        )
        + ', "STOP: ", "")',
    ),
    Column(
        "added_ways_stop",
        first_given(
            "replace_stop",
            otherwise='IF([added_design_stop]<>"", "No: "&[added_design_stop]&".", '
            + few_spaces(
                "added_panel",
                'IF([source_stop]="yes", "No: a bus or the inlet stops the sources.", "")',
            )
            + ")",
        ),
    ),
    Column(
        "added_panel_reason",
        f'IF([added_panel_spare_a]<0, "No: the service is short by "&{amount_up("added_panel_spare_a")}&" A.", '
        + first_given("added_ways_stop", otherwise=f'"Yes: "&{remain("added_panel")}')
        + ")",
    ),
    feasible("added_panel"),
)

LOAD_CONTROL = (
    Column("load_control_spare_a", 'IF([controlled_load_a]="", "", [service_a]-[controlled_load_a])'),
    Column("ev_units", "IF([new_ev_va]>0, [ev_count]+[add_ev_count], 0)"),
    Column(
        "control_in_main",
        'IF(AND([replace_stop]="", [panel_place]<>"other building", [full_spaces_short]=0, '
        '[existing_spaces_spare_spaces]>=[spare_wanted], [existing_source_stop]="no"), "yes", "no")',
    ),
    Column(
        "load_control_spare_spaces",
        'IF([control_in_main]="yes", [existing_spaces_spare_spaces], [added_panel_spare_spaces])',
    ),
    Column(
        "set_point_stop",
        'IF([new_ev_va]=0, "No: no vehicle supply is planned.", '
        "IF(ROUND([ev_set_point_a]/[ev_units], 6)<{control_minimum}, "
        '"No: the set point leaves less than "&{control_minimum}&" A to each vehicle.", ""))',
    ),
    Column(
        "load_control_stop",
        first_given(
            "set_point_stop",
            otherwise='IF([load_control_spare_a]<0, "No: the service is short by "'
            f'&{amount_up("load_control_spare_a")}&" A even so.", '
            'IF([control_in_main]="no", [added_ways_stop], ""))',
        ),
    ),
    Column("set_point_whole_a", f'IF([ev_set_point_a]="", "", {whole("ev_set_point_a")})'),
    Column(
        "load_control_reason",
        first_given(
            "load_control_stop",
            otherwise=f'"Yes, at a set point of "&[set_point_whole_a]&" A: "&{remain("load_control")}',
        ),
    ),
    feasible("load_control"),
)

LARGER_SERVICE = (
    Column(
        "larger_load_va",
        'IF([load_method]="dwelling standard", [standard_load_va], [optional_load_va])',
    ),
    Column("larger_load_a", "[larger_load_va]/[line_v]"),
    Column(
        "new_service_source_a",
        'IF([source_place]="none", 0, IF([source_place]="supply side", [source_counted_a], '
        "IF({bus_far_end_rate}>1, [source_rated_a]/({bus_far_end_rate}-1), 2*{largest_service})))",
    ),
    Column(
        "new_service_index",
        f"SUMPRODUCT(1-({OFFERED}>[service_a])*({OFFERED}>={{minimum_service}})"
        f"*({OFFERED}>=[larger_load_a])*({OFFERED}>=[new_service_source_a])"
        f'*({OFFERED}>=IF([new_service_wanted_a]="", 0, [new_service_wanted_a])))+1',
    ),
    Column(
        "new_service_a",
        f'IF([new_service_index]>ROWS({OFFERED}), "", '
        f'IF(INDEX({OFFERED}, [new_service_index])>{{largest_service}}, "", INDEX({OFFERED}, [new_service_index])))',
    ),
    Column("larger_service_spare_a", 'IF([new_service_a]="", "", [new_service_a]-[larger_load_a])'),
    Column(
        "larger_service_spare_spaces",
        'IF([panel_place]="other building", IF([added_panel_spare_spaces]="", "", '
        "[added_panel_spare_spaces]+{new_main_spaces}-[main_spaces]), "
        "{new_main_spaces}-[main_spaces_used]+[spaces_freed]-[new_spaces])",
    ),
    Column(
        "larger_place_stop",
        'IF(AND([panel_place]="other building", [added_design_stop]<>""), "No: "&[added_design_stop]&".", "")',
    ),
    Column(
        "larger_wish_stop",
        'IF(OR([new_service_wanted_a]="", [new_service_a]=""), [larger_place_stop], '
        'IF([new_service_wanted_a]<[new_service_a], "No: the service wanted is too small; "&[new_service_a]'
        '&" A is needed.", [larger_place_stop]))',
    ),
    Column(
        "larger_size_stop",
        'IF([data_stop]<>"", [data_stop], IF([new_service_a]="", "No: no service up to "&{largest_service}'
        '&" A carries load and sources.", '
        'IF([larger_wish_stop]<>"", [larger_wish_stop], '
        + few_spaces("larger_service", '""')
        + ")))",
    ),
    Column(
        "larger_source_stop",
        f"IF({begins('inlet_state', 'STOP')}, "
        '"No: an inlet needs a listed interlock or transfer equipment.", '
        'IF(AND([panel_place]="other building", [added_bus_check]="STOP"), '
        '"No: the added bus is too small for the sources.", ""))',
    ),
    Column(
        "larger_service_reason",
        first_given(
            "larger_size_stop",
            "larger_source_stop",
            otherwise='"Yes, "&[new_service_a]&IF([panel_place]="other building", " A and the added panel: ", '
            f'" A: ")&{remain("larger_service")}',
        ),
    ),
    feasible("larger_service"),
)


def rank(way: str) -> Column:
    """Price of a way; unpriced_usd where it has none, twice that where the way does not work."""
    return Column(
        f"{way}_rank_usd",
        f'IF([{way}_feasible]="no", 2*{{unpriced_usd}}, '
        f'IF([{way}_price_usd]="", {{unpriced_usd}}, [{way}_price_usd]))',
    )


def cheapest() -> str:
    """The first way that works whose rank is the lowest."""
    formula = '"none"'
    for words, way in reversed(WAYS.items()):
        formula = (
            f'IF(AND([{way}_feasible]="yes", [{way}_rank_usd]=[lowest_rank_usd]), '
            f'"{words}", {formula})'
        )
    return formula


DECISION = (
    *(rank(way) for way in WAYS.values()),
    Column("lowest_rank_usd", "MIN([existing_spaces_rank_usd:larger_service_rank_usd])"),
    Column("option_rank", cheapest()),
    Column(
        "option_chosen",
        'IF([option_wanted]<>"", [option_wanted], IF([option_rank]="none", "", [option_rank]))',
    ),
    Column("chosen_feasible", of_chosen("feasible")),
    Column("chosen_rank_usd", of_chosen("rank_usd")),
    Column("chosen_spare_a", of_chosen("spare_a")),
    Column(
        "option_state",
        'IF([option_chosen]="", "STOP: no way works as entered", IF([option_wanted]="", "OK", '
        'IF([chosen_feasible]="no", "STOP: the way wanted does not work", '
        'IF([chosen_rank_usd]>[lowest_rank_usd], "CHECK: a cheaper way works", "OK"))))',
    ),
    Column("chosen_reason", of_chosen("reason")),
    Column(
        "option_reason",
        'IF([option_chosen]="", "No way works as entered; see the four reasons.", '
        'IF([option_wanted]<>"", "Wanted by the job. ", IF([lowest_rank_usd]>={unpriced_usd}, '
        '"No way has a price; the first that works. ", "The least costly way that works. "))'
        "&[chosen_reason])",
    ),
)

OPTIONS = Sheet(
    name="Options",
    title="Ways to serve the house",
    note="Four ways with what each leaves spare and why it works or not, and the least costly that works.",
    columns=(*WANTED, *EXISTING_SPACES, *ADDED_PANEL, *LOAD_CONTROL, *LARGER_SERVICE, *DECISION),
)
