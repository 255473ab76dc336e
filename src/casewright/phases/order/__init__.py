"""Order: what is needed, the cheapest cover, the quote, the owner's yes, goods that came in."""

from casewright.phases.order.at_risk import AtRisk, Priced
from casewright.phases.order.choices import PART_OUT, REPAIR
from casewright.phases.order.goods import GoodsLine, OrderCheck, slug_of
from casewright.phases.order.need_lines import NeedLine
from casewright.phases.order.ordering import Alternative, Nobody, Ordering
from casewright.phases.order.quoting import ChoiceLine, Quoting
from casewright.phases.order.view import OrderView, OwnersYes, ParcelLine, view

__all__ = [
    "PART_OUT", "REPAIR", "Alternative", "AtRisk", "ChoiceLine", "GoodsLine", "NeedLine",
    "Nobody", "OrderCheck", "OrderView", "Ordering", "OwnersYes", "ParcelLine", "Priced",
    "Quoting", "slug_of", "view",
]  # fmt: skip
