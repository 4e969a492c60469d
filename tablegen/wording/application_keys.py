"""What each key of an application means: one sentence each, which editors show through JSON Schema."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

KEYS: Mapping[str, Message] = {
    "ApplicationModel.application": Message("Key of the application, which is the name of this file without .yaml."),
    "ApplicationModel.title": Message("Title of the application in print."),
    "ApplicationModel.temperature_range": Message(
        "Temperature range, by a name that bulb charges have too, such as medium_temperature."
    ),
    "ApplicationModel.note": Message("A note in print."),
    "ApplicationModel.site_pressure": Message(
        "Atmospheric pressure at the site; gauge pressures are converted to absolute with it."
    ),
    "ApplicationModel.coil_temperature_difference": Message(
        "Box temperature minus SST at the rating point (TD). Used to get the SST from a box temperature; it changes "
        "limits where the maximum superheat belongs to the coil, and where suction follows the box."
    ),
    "ApplicationModel.suction": Message("The suction side: SSTs of the tables, line loss, and what the SST does."),
    "ApplicationModel.rating": Message("The operating condition at which the capacity of the system is stated."),
    "ApplicationModel.low_head": Message("The lowest head pressure that the tables are valid for."),
    "ApplicationModel.high_head": Message("The highest head pressure that the tables are valid for."),
    "ApplicationModel.losses": Message("Pressure losses at rated flow."),
    "ApplicationModel.superheat": Message("Superheat at the bulb."),
    "ApplicationModel.coil": Message("The evaporator coil."),
    "ApplicationModel.compressor": Message("The compressor, of which only ratios of mass flow are used."),
    "ApplicationModel.scatter": Message("How one installation differs from the next, as standard deviations."),
    "ApplicationModel.by_refrigerant": Message(
        "What differs for some refrigerants: the same keys as above, which replace them."
    ),
    "SstRangeModel.minimum": Message("Lowest SST of the tables."),
    "SstRangeModel.maximum": Message("Highest SST of the tables."),
    "SstRangeModel.step": Message(
        "From one row to the next; a whole number of steps fits between minimum and maximum."
    ),
    "SuctionModel.sst_at": Message("Where the SST of the tables is stated."),
    "SuctionModel.basis": Message("Basis of the SST."),
    "SuctionModel.line_loss": Message("Loss of the suction line, as a difference of saturation temperature."),
    "SuctionModel.sst_range": Message("The SSTs of the tables."),
    "SuctionModel.example_sst": Message("The row used for the step-by-step calculation and the balance graph."),
    "SuctionModel.response": Message("What the SST does when the head pressure changes."),
    "SuctionModel.box_difference": Message(
        "Box temperature minus SST at the rating point, which a response other than constant needs; may be left out "
        "where coil_temperature_difference is stated."
    ),
    "head_pressure": Message("Head pressure, gauge or absolute."),
    "condensing_temperature": Message("Condensing temperature instead of a head pressure; it needs its basis."),
    "basis": Message("Basis of the condensing temperature."),
    "liquid_temperature": Message("Liquid temperature at the valve inlet."),
    "RatingModel.subcooling": Message("Subcooling below the condensing temperature, which must be on bubble basis."),
    "inlet_subcooling": Message("Subcooling at the valve inlet."),
    "condenser_subcooling": Message("Subcooling at the outlet of condenser or receiver."),
    "condenser_subcooling_range": Message(
        "A range of subcooling at the outlet of condenser or receiver; the tables are valid for all of it."
    ),
    "CondenserSubcoolingRange.minimum": Message("Minimum subcooling, with which maximum loads are computed."),
    "CondenserSubcoolingRange.maximum": Message("Maximum subcooling, with which minimum loads are computed."),
    "ApplicationModel.liquid": Message("How liquid reaches the valve, if there is more to state than its subcooling."),
    "LiquidModel.inlet_vapor": Message(
        "Maximum vapor at the valve inlet by mass that limits allow for; with 0 percent liquid that flashes upstream of "
        "the port is refused."
    ),
    "LiquidModel.heat_gain": Message("Heat that the liquid line picks up."),
    "LiquidModel.supply": Message("What the head pressures of the application are."),
    "HeatGainModel.per_length": Message("Heat gain per length of liquid line."),
    "HeatGainModel.length": Message("Length of liquid line that picks up heat."),
    "HeatGainModel.capacity": Message("Rated capacity of the system that the line feeds."),
    "ConstantCapacityModel.kind": Message("A rack with constant SST; the evaporator capacity stays constant."),
    "inlet_subcooling_range": Message("A range of subcooling at the valve inlet; the tables are valid for all of it."),
    "SubcoolingRange.minimum": Message("Minimum subcooling."),
    "SubcoolingRange.maximum": Message("Maximum subcooling."),
    "LossesModel.liquid_line": Message("Loss of the liquid line, with filter and fittings."),
    "LossesModel.lift": Message("Height of the valve above the receiver."),
    "LossesModel.evaporator": Message("Loss of the evaporator."),
    "LossesModel.distributor": Message("Loss of the distributor with its tubes."),
    "LossesModel.distributor_scaling": Message("What the loss of the distributor changes with."),
    "SuperheatModel.useful": Message("Superheat that the rated capacity includes."),
    "SuperheatModel.maximum": Message("Maximum superheat: a valve that needs more starves the evaporator."),
    "SuperheatModel.maximum_share": Message(
        "Maximum superheat as a share of the coil's temperature difference; 65 percent is common practice."
    ),
    "SuperheatModel.coil_capacity_loss": Message(
        "Maximum superheat is that at which the dry end costs the coil this share of its capacity."
    ),
    "CoilModel.conductance_ratio": Message(
        "Conductance of the coil per length where vapor has dried the wall, over that where liquid wets it."
    ),
    "SuperheatModel.minimum_stable": Message("Minimum stable superheat (MSS), the same at every load."),
    "SuperheatModel.minimum_stable_line": Message(
        "Minimum stable superheat over the load divided by the rated capacity."
    ),
    "LoadLine.constant": Message("Minimum stable superheat without load."),
    "LoadLine.linear": Message("Its increase with the load."),
    "LoadLine.quadratic": Message("Its increase with the square of the load."),
    "ApplicationModel.stability": Message(
        "What gives the minimum opening of valves whose family states nothing of it; without it constant."
    ),
    "CoilModel.circuit_load": Message("Share of the rated capacity that one circuit of the coil takes."),
    "CoilModel.circuit_length": Message("Length of tube of one circuit."),
    "CoilModel.tube_inner_diameter": Message("Inner diameter of the tube."),
    "CoilModel.wall_heat_capacity": Message("Heat capacity of tube and fins per length of tube."),
    "CoilModel.air_side_share": Message("Share of the air side in the thermal resistance where the tube is wet."),
    "CoilModel.plug_share": Message("Share of the dry-out delay that is dead time; the rest is a first-order lag."),
    "CoilModel.liquid_holdup_factor": Message("Liquid in the tube over that of Zivi's correlation; 1 without it."),
    "CoilModel.calibration": Message("Ultimate gain of this coil, measured over computed; 1 without it."),
    "StabilityModel.method": Message("The method."),
    "StabilityModel.gain_margin": Message(
        "Gain at which the loop would hunt divided by the largest gain allowed; 1.5 without it."
    ),
    "minimum_capacity": Message("Smallest step of the compressor's capacity control."),
    "return_gas_superheat": Message("Superheat at the compressor inlet."),
    "discharge_line_loss": Message("Loss of the discharge line."),
    "ClearanceModel.kind": Message("A compressor by its clearance volumetric efficiency."),
    "ClearanceModel.clearance": Message("Clearance volume, as a share of displacement."),
    "ClearanceModel.re_expansion_exponent": Message("Exponent of the re-expansion, from 1 to 2."),
    "PolynomialModel.kind": Message("A compressor by the mass-flow polynomial of AHRI 540."),
    "PolynomialModel.coefficients": Message("The ten mass-flow coefficients in the published order."),
    "PolynomialModel.temperatures_in": Message("Unit of the temperatures that the polynomial was fitted with."),
    "PolynomialModel.map": Message("The dew temperatures that the polynomial was fitted over."),
    "PolynomialModel.extrapolate": Message("Whether the polynomial is used beyond the map."),
    "MapModel.suction": Message("Lowest and highest suction dew temperature."),
    "MapModel.discharge": Message("Lowest and highest discharge dew temperature."),
    "TableModel.kind": Message("A compressor by a table of relative mass flows."),
    "TableModel.suction": Message("Suction dew temperatures of the rows, ascending."),
    "TableModel.discharge": Message("Discharge dew temperatures of the columns, ascending."),
    "TableModel.flows": Message("Relative mass flow: a row for each suction temperature."),
    "InstallationScatterModel.low_head": Message("Deviation of the low head, in pressure or in temperature."),
    "InstallationScatterModel.high_head": Message("Deviation of the high head, in pressure or in temperature."),
    "InstallationScatterModel.inlet_subcooling": Message("Deviation of the subcooling at the valve inlet."),
    "InstallationScatterModel.liquid_line": Message("Deviation of the loss of the liquid line."),
    "InstallationScatterModel.distributor": Message("Deviation of the loss of the distributor."),
    "InstallationScatterModel.conductance_ratio": Message(
        "Deviation of the coil's conductance ratio, as a share of it."
    ),
    "InstallationScatterModel.dryout_delay": Message("Deviation of the dry-out delay, as a share of it."),
    "InstallationScatterModel.compressor_flow": Message(
        "Deviation of the change of flow from the rating point to low or high head, as a share of it."
    ),
}
VALUES: Mapping[str, Mapping[str, Message]] = {
    "SuctionModel.sst_at": {
        "evaporator": Message("dew temperature at the evaporator outlet (the bulb)"),
        "compressor": Message("dew temperature at the compressor"),
    },
    "SuctionModel.basis": {"dew": Message("dew point, the only one")},
    "SuctionModel.response": {
        "constant": Message("it does not change"),
        "balanced": Message("it follows evaporator and compressor"),
        "stricter": Message("both are computed, and the narrower window is printed"),
    },
    "basis": {
        "dew": Message("dew point"),
        "bubble": Message("bubble point"),
        "mid": Message("mid-point between the two"),
    },
    "LiquidModel.supply": {
        "condenser": Message("head pressures, with liquid from a condenser or a receiver at head pressure"),
        "intermediate_receiver": Message("pressures of an intermediate receiver, as in R744 racks"),
    },
    "LossesModel.distributor_scaling": {
        "flashed_mixture": Message("the square of the flow and the specific volume of the flashed mixture"),
        "flow_squared": Message("the square of the flow alone"),
    },
    "StabilityModel.method": {
        "constant": Message("a stated minimum stable opening and superheat, an assumption"),
        "loop": Message("the loop of valve, coil and bulb or sensor"),
    },
    "PolynomialModel.temperatures_in": {"degF": Message("degrees Fahrenheit"), "degC": Message("degrees Celsius")},
    "PolynomialModel.extrapolate": {
        "refused": Message("no: no load is covered there"),
        "allowed": Message("yes"),
    },
}
