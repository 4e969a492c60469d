"""Sources and notes beside the steps of a calculation."""

from tablegen.wording.message import Message

# Where an equation comes from.
EQUATION_OF_STATE = Message("equation of state")
DEFINITION = Message("definition")
COMPRESSOR_FLOW = Message("compressor flow")
ENERGY_BALANCE = Message("energy balance")
HYDROSTATICS = Message("hydrostatics")
LOSS_LAW = Message("loss law")
CLEARANCE = Message("clearance efficiency, any textbook")
AHRI_540 = Message("AHRI 540")
AHRI_540_POLYNOMIAL = Message("AHRI 540, ten coefficients")
TABLE = Message("linear between the points of the table")
THROTTLING = Message("throttling")
HOMOGENEOUS = Message("homogeneous mixture, an assumption")
IEC_RATIO_FACTOR = Message("IEC 60534-2-1, critical pressure ratio factor")
IEC_CHOKED = Message("IEC 60534-2-1, choked flow")
DISCHARGE = Message("discharge coefficient of the family")
IEC_FLOW = Message("flow equation of IEC 60534-2-1")
IEC_PIPING = Message("connections in series, IEC 60534-2-1 (piping geometry factor)")
FORCE_BALANCE = Message("force balance of the diaphragm")
CHARGE_CURVE = Message("curve of the bulb charge")
CHARACTERISTIC = Message("opening characteristic")
MSS_WITH_LOAD = Message("minimum stable superheat grows with load")
QUANTILE = Message("quantile of the draws")
NO_FLOW = Message("no flow, so no losses upstream or downstream of the valve")
TWO_ZONES = Message("coil of a wetted and a dry zone, constant air temperature")
CONDUCTANCE = Message("constant conductance of the evaporator")

SIMPSON = Message("friction follows the density along the line; Simpson’s rule")
ZIVI = Message("slip after Zivi (1964), not checked against the source")
MASS_BALANCE = Message("mass balance of the liquid")
HALF_A_PERIOD = Message("the loop lags by half a period (Nyquist)")
LOOP_OF_COIL = Message("loop of valve and coil")

# What a formula does not say.
PHASE_OF_BULB = Message("smallest ω with ω d + atan(ω t_front) + atan(ω t_wall) − atan(ω t_wet) + atan(ω t_bulb) = π")
PHASE_OF_CONTROLLER = Message(
    "smallest ω with ω (d + d_c) + atan(ω t_front) + atan(ω t_wall) − atan(ω t_wet) + atan(ω t_bulb) + atan(1/(ω T_i)) = π"
)
HOT_WALL = Message("a newly wetted wall is hot: part of the answer comes at once")
MEAN_OF_LENGTH = Message("mean from the inlet to dry-out")
ROOT_BELOW = Message("the superheat is the root of the loop's gain below")
ROOT_OF_OPENING = Message("the opening is the root of the loop's gain below")
IS_ALLOWED = Message("equal to the gain allowed, unless another limit binds")
SST_AT_COMPRESSOR = Message("the SST is stated at the compressor")
SST_AT_EVAPORATOR = Message("the SST is stated at the evaporator")
BALANCED_BELOW = Message("the evaporating temperature is the root of the balance below")
DENSITIES_THERE = Message("with the densities there, solved together")
ENTHALPY_THERE = Message("with the enthalpy that the liquid has at this flow, solved together")
KEPT_CAPACITY = Message("constant evaporator capacity")
FALL_THERE = Message("equal to Δp_short: solved for Δp_flash")
NEEDED_THERE = Message("with the density at its bubble point, solved together")
OPEN_FLOW = Message("while it is open, the valve passes the flow of the whole cycle")
MEAN_FLOW = Message("with the mean flow: liquid takes up heat in the whole cycle")
DENSITY_THERE = Message("with the density that the liquid has there, solved together")
PER_SWEPT_VOLUME = Message("for each unit of swept volume")
IN_UNIT = Message("in {unit}")
GAS_ONLY = Message("above it only gas is left in the bulb, which must be colder than diaphragm case and capillary")
MONOTONE = Message("monotone curve through its points")
ABOVE_MOP = Message("above T_m ideal gas")
INTERNAL = Message("internal equalizer")
EXTERNAL = Message("external equalizer")
SCATTER = Message("k from the scatter of valves and installations and the uncertainty of properties")
BOX_STAYS = Message("the box stays where it is at the rating point")
WETTED_BELOW = Message("the wetted share is the root of the line below")
IS_LOSS = Message("equal to 1 less the loss that is allowed")
BALANCED = Message("equal to q: evaporator and compressor agree at this T_e")
SET_ON = Message("set for {refrigerant}; constant from then on")


MEANINGS = {
    "SST": Message("saturated suction temperature, dew"),
    "dT_s": Message("suction line loss"),
    "T_e": Message("evaporating temperature, dew"),
    "T_er": Message("evaporating temperature at the rating point"),
    "p_e": Message("evaporating pressure"),
    "SH_u": Message("useful superheat"),
    "h_v": Message("vapor after useful superheat"),
    "T_c": Message("condensing temperature"),
    "p_h": Message("head pressure"),
    "dT_sub": Message("subcooling at the valve inlet"),
    "T_l": Message("liquid temperature"),
    "dp_line": Message("liquid line loss, rated flow"),
    "H": Message("liquid lift"),
    "g": Message("standard gravity"),
    "dp_lift": Message("pressure of the liquid column"),
    "rho": Message("liquid density at the inlet"),
    "rho_r": Message("liquid density, rating point"),
    "p_1": Message("inlet pressure of the valve"),
    "SC_c": Message("subcooling, condenser or receiver"),
    "T_h": Message("bubble point, head pressure"),
    "T_o": Message("liquid, condenser or receiver"),
    "g_1": Message("heat gain per length, liquid line"),
    "L_g": Message("length of the liquid line"),
    "Q_g": Message("rated capacity on that line"),
    "sigma": Message("heat gain, share of rated capacity"),
    "dT_1": Message("one kelvin, for the heat capacity"),
    "T_oc": Message("liquid one kelvin colder"),
    "h_w": Message("liquid enthalpy, head pressure"),
    "h_c": Message("the same, one kelvin colder"),
    "c_l": Message("heat capacity of the liquid"),
    "dT_g": Message("temperature rise along the line"),
    "T_n": Message("bubble point, inlet without vapor"),
    "rho_n": Message("liquid density, inlet without vapor"),
    "p_n": Message("inlet pressure just without vapor"),
    "SC_n": Message("subcooling needed there"),
    "p_1l": Message("inlet pressure of liquid alone"),
    "p_bl": Message("bubble pressure of the liquid"),
    "dp_sh": Message("how far liquid alone falls below it"),
    "dp_f": Message("fall of liquid and vapor below it"),
    "r_1": Message("density over that of liquid, after ¼ of that fall"),
    "r_2": Message("density over that of liquid, after ½ of that fall"),
    "r_3": Message("density over that of liquid, after ¾ of that fall"),
    "r_4": Message("density over that of liquid, at the valve"),
    "dp_fl": Message("friction of liquid alone there"),
    "T_b1": Message("bubble point, valve inlet"),
    "T_d1": Message("dew point, valve inlet"),
    "h_b1": Message("saturated liquid, valve inlet"),
    "h_d1": Message("saturated vapor, valve inlet"),
    "rho_b1": Message("liquid density, valve inlet"),
    "rho_d1": Message("vapor density, valve inlet"),
    "x_1": Message("vapor at the valve inlet, by mass"),
    "x_max": Message("vapor allowed at the valve inlet"),
    "rho_1": Message("density with vapor, valve inlet"),
    "h_l": Message("liquid enthalpy at the inlet"),
    "dh_r": Message("refrigerating effect"),
    "T_s": Message("dew temperature, compressor"),
    "p_s": Message("pressure at the compressor"),
    "SH_c": Message("return gas superheat"),
    "rho_s": Message("suction gas density"),
    "dp_d": Message("discharge loss"),
    "p_d": Message("discharge pressure"),
    "T_d": Message("discharge dew temperature"),
    "C": Message("clearance, share of swept volume"),
    "n": Message("re-expansion exponent"),
    "eta": Message("volumetric efficiency"),
    "S": Message("suction dew temperature, number"),
    "D_c": Message("discharge dew temperature, number"),
    "m_c": Message("compressor flow per swept volume"),
    "m_cr": Message("the same at the rating point"),
    "m_x": Message("compressor flow, relative"),
    "m_xr": Message("the same at the rating point"),
    "s": Message("minimum capacity step of the compressor"),
    "d_max": Message("maximum duty cycle: share of time in which a pulse-modulated valve is open"),
    "f": Message("flow divided by rated flow"),
    "m": Message("mass flow of the refrigerant"),
    "T_b2": Message("bubble point, evaporator"),
    "h_b": Message("saturated liquid, evaporator"),
    "h_d": Message("saturated vapor, evaporator"),
    "rho_b": Message("liquid density, evaporator"),
    "rho_d": Message("vapor density, evaporator"),
    "x": Message("quality downstream of the port"),
    "v": Message("volume of the flashed mixture"),
    "v_r": Message("the same at the rating point"),
    "dp_evap": Message("evaporator loss, rated flow"),
    "dp_dist": Message("distributor loss, rated flow"),
    "p_2": Message("outlet pressure of the port"),
    "dp": Message("pressure drop left for the port"),
    "p_v": Message("bubble pressure of the liquid"),
    "p_crit": Message("critical pressure"),
    "F_F": Message("critical pressure ratio"),
    "F_L": Message("pressure recovery factor"),
    "s_c": Message("subcooling, share of critical pressure"),
    "s_n": Message("subcooling that Kv is rated at"),
    "a_d": Message("exponent of subcooling"),
    "y_p": Message("pressure drop, share of inlet pressure"),
    "y_n": Message("pressure drop that Kv is rated at"),
    "b_d": Message("exponent of pressure drop"),
    "C_d": Message("discharge coefficient over rated one"),
    "s_min": Message("minimum subcooling of the flow law"),
    "s_max": Message("maximum subcooling of the flow law"),
    "y_min": Message("minimum pressure drop of the flow law"),
    "y_max": Message("maximum pressure drop of the flow law"),
    "dp_ch": Message("drop at which the flow chokes"),
    "dp_eff": Message("drop that drives the flow"),
    "N": Message("flow per Kv, at density 1 and drop 1"),
    "E": Message("energy per hour in a unit of load"),
    "rho_0": Message("density of the water that Kv is stated for"),
    "dp_0": Message("pressure drop that Kv is stated for"),
    "V": Message("volume flow for a Kv of 1 m³/h"),
    "D": Message("required Kv per unit of load"),
    "q": Message("evaporator load"),
    "q_e": Message("evaporator load, share of rated"),
    "DT": Message("box minus evaporating temperature"),
    "TD": Message("temperature difference of the coil"),
    "k_SH": Message("maximum superheat as a share of it"),
    "q_loss": Message("loss of coil capacity that is allowed"),
    "r_c": Message("conductance of a dry wall over a wetted one"),
    "h_a": Message("vapor at the box temperature"),
    "a": Message("heat from vapor to box temperature, over evaporation"),
    "B": Message("transfer units of a dry end as long as the wetted part"),
    "z_w": Message("wetted share of the coil"),
    "q_w": Message("capacity of the coil over the same wetted to its end"),
    "dh_w": Message("from liquid to saturated vapor, rating point"),
    "B_r": Message("transfer units at the rating point"),
    "E_d": Message("transfer units of the dry end, rating point"),
    "zeta": Message("wetted share of the circuit, rating point"),
    "Q_c": Message("rated capacity of one circuit"),
    "m_1": Message("flow of one circuit, rating point"),
    "L_c": Message("length of one circuit"),
    "k_w": Message("conductance per length of wetted tube"),
    "s_Z": Message("density ratio with slip"),
    "k_h": Message("liquid in the tube over that of the correlation"),
    "w_l": Message("liquid share of the tube's section"),
    "d_i": Message("inner diameter of the tube"),
    "A_i": Message("section of the tube"),
    "h_fg": Message("heat of evaporation"),
    "N_t": Message("seconds in an hour"),
    "t_d": Message("delay of dry-out"),
    "b_p": Message("share of it that is dead time"),
    "d_0": Message("dead time"),
    "t_1": Message("lag of dry-out"),
    "C_w": Message("heat capacity of tube and fins per length"),
    "a_w": Message("share of the air side in the resistance"),
    "t_w": Message("lag of tube and fins"),
    "t_f": Message("lead of tube and fins"),
    "t_b": Message("time constant of bulb or sensor"),
    "w_u": Message("ultimate frequency"),
    "P_u": Message("period of the swing"),
    "k_K": Message("calibration of the coil"),
    "K_b": Message("ultimate gain without integral action"),
    "K_u": Message("ultimate gain, at which the loop hunts"),
    "GM": Message("gain margin"),
    "K_all": Message("gain allowed"),
    "SH_s": Message("minimum stable superheat by the loop"),
    "k_s": Message("the same over the coil's temperature difference"),
    "dp_b": Message("slope of the bulb pressure"),
    "l_c": Message("relative slope of the opening characteristic"),
    "K_0": Message("gain of the loop"),
    "phi_seat": Message("smallest opening controlled"),
    "K_p": Message("gain of the controller"),
    "T_i": Message("integral time"),
    "d_c": Message("delay of the controller"),
    "SH_set": Message("superheat that the controller is set to"),
    "T_b0": Message("bulb temperature of the setting"),
    "SS": Message("static superheat of the setting"),
    "OS": Message("opening superheat of the setting"),
    "dp_ref": Message("pressure drop of the setting"),
    "p_b0": Message("bulb pressure of the setting"),
    "p_b1": Message("bulb pressure, rated stroke"),
    "p_e0": Message("dew pressure of the setting"),
    "p_spring": Message("spring pressure, just open"),
    "p_grad": Message("spring to rated stroke"),
    "p_MOP": Message("maximum operating pressure"),
    "T_0": Message("zero of the temperature scale, from absolute zero"),
    "T_m": Message("bulb temperature of the MOP"),
    "u": Message("net unbalanced port area divided by diaphragm area, positive where inlet pressure closes"),
    "SH_max": Message("maximum superheat"),
    "SH_min": Message("minimum stable superheat"),
    "a_0": Message("minimum stable superheat, constant"),
    "a_1": Message("the same, with load"),
    "a_2": Message("the same, with load squared"),
    "T_b": Message("bulb temperature"),
    "T_bk": Message("bulb temperature"),
    "p_b": Message("bulb pressure"),
    "p_u": Message("pressure under the diaphragm"),
    "SH": Message("superheat at the evaporator outlet"),
    "phi": Message("opening, share of rated stroke"),
    "phi_sh": Message("opening at that superheat"),
    "phi_stop": Message("opening at the mechanical stop"),
    "r_lim": Message("share of the reserve up to the stop that maximum loads may use"),
    "phi_size": Message("maximum opening that maximum loads may use"),
    "phi_stable": Message("minimum stable opening"),
    "phi_max": Message("maximum opening used"),
    "phi_min": Message("minimum opening used"),
    "c": Message("share of rated Kv"),
    "Q_1": Message("load per m³/h of rated Kv"),
    "c_p": Message("share of the port's own Kv"),
    "Kv": Message("rated flow coefficient"),
    "Kv_p": Message("the same of the port alone"),
    "Kv_c": Message("the same of body and connections"),
    "r": Message("Kv of the port over that of connections"),
    "Q_n": Message("nominal capacity of the size"),
    "k": Message("limit at confidence divided by nominal"),
    "Q": Message("load at the rating point"),
    "T_min": Message("lowest evaporating temperature, charge"),
    "T_max": Message("highest evaporating temperature, charge"),
    "dp_shut": Message("pressure difference across the closed valve"),
    "p_work": Message("working pressure of the valve"),
    "dp_all": Message("allowed differential"),
}
AHRI_540_COEFFICIENT = Message("coefficient {number} of AHRI 540")
