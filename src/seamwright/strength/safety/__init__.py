"""Safe for its use: food, heat, dust at the saw, small parts and traps of the plan.

Findings with their sources. They caution; the machine's manual, local codes and licensed practice
go before anything here.
"""

from seamwright.strength.safety.dust import dust_findings
from seamwright.strength.safety.parts import DEFER, plan_cautions
from seamwright.strength.safety.uses import BoardUse, Finish, use_findings

__all__ = ["DEFER", "BoardUse", "Finish", "dust_findings", "plan_cautions", "use_findings"]
