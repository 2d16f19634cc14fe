"""Second opinion on fault currents: pandapower's own implementation of IEC 60909-0.

Reads {"paths": [...]} on stdin and prints {"results": [...]}: for every path the initial current and the peak, in kA, behind the
transformer and behind every part after it, and the current at the connection of the supply. pandapower builds the admittance
matrix of the network and inverts it; the program under test adds impedances along the path.
"""

import json
import sys
import warnings

warnings.filterwarnings("ignore")

import pandapower as pp  # noqa: E402
import pandapower.shortcircuit as sc  # noqa: E402


def network(path):
    net = pp.create_empty_network(f_hz=path["hz"], sn_mva=1.0)
    supply, trafo = path["supply"], path["transformer"]
    bus = pp.create_bus(net, vn_kv=supply["kv"])
    grid = {f"s_sc_{path['case']}_mva": supply["mva"], f"rx_{path['case']}": supply["rx"]}
    pp.create_ext_grid(net, bus, **grid)
    buses = [bus]
    bus = pp.create_bus(net, vn_kv=trafo["nominal_kv"])
    pp.create_transformer_from_parameters(
        net, buses[-1], bus, sn_mva=trafo["mva"], vn_hv_kv=trafo["hv_kv"], vn_lv_kv=trafo["lv_kv"], vk_percent=trafo["uk"],
        vkr_percent=trafo["ur"], pfe_kw=0.0, i0_percent=0.0, shift_degree=0.0, vector_group="Dyn",
    )
    buses.append(bus)
    for part in path["parts"]:
        bus = pp.create_bus(net, vn_kv=trafo["nominal_kv"])
        # A reactor is a line of reactance alone that does not warm up.
        pp.create_line_from_parameters(
            net, buses[-1], bus, length_km=1.0, r_ohm_per_km=part["r"], x_ohm_per_km=part["x"], c_nf_per_km=0.0, max_i_ka=1.0,
            endtemp_degree=part["end"],
        )
        buses.append(bus)
    return net, buses


def answer(path):
    net, buses = network(path)
    sc.calc_sc(net, fault="3ph", case=path["case"], lv_tol_percent=path["tolerance"], topology="radial", ip=True)
    found = net.res_bus_sc.loc[buses]
    return {"ik": found.ikss_ka.tolist(), "ip": found.ip_ka.tolist()}


def main():
    print(json.dumps({"results": [answer(path) for path in json.load(sys.stdin)["paths"]]}))


if __name__ == "__main__":
    main()
