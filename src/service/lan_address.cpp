#include "service/lan_address.h"

#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <algorithm>
#include <boost/asio/ip/address.hpp>
#include <memory>
#include <vector>

#include "service/http.h"

namespace tackcloth::service {
namespace {

namespace ip = boost::asio::ip;

bool is_local(const ip::address_v4& address) {
  const auto n = address.to_uint();
  return n >> 24 == 10 || n >> 20 == (172u << 4 | 1u) || n >> 16 == (192u << 8 | 168u) ||
         n >> 16 == (169u << 8 | 254u) || n >> 24 == 127;
}
// fc00::/7. A link-local address (fe80::/10) needs a zone, which no browser takes in an address (WHATWG URL, "host").
bool is_local(const ip::address_v6& address) { return (address.to_bytes()[0] & 0xfe) == 0xfc; }

}  // namespace

Result<std::string> local_address(const std::string& text) {
  boost::system::error_code error;
  const auto address = ip::make_address(text, error);
  if (!error && (address.is_v4() ? is_local(address.to_v4()) : is_local(address.to_v6()))) return address.to_string();
  return tl::unexpected(problem_of("'" + text + "' is not an address of a local network",
                                   "this machine's own, such as 192.168.1.5 or 10.0.0.7",
                                   "look it up (ip address), or leave it out"));
}

Result<std::string> own_local_address() {
  ifaddrs* all = nullptr;
  if (::getifaddrs(&all) != 0) {
    return tl::unexpected(
        problem_of("the addresses of this machine cannot be read", "a network", "name the address after --lan"));
  }
  const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner(all, &::freeifaddrs);
  std::vector<std::string> found;
  for (const ifaddrs* one = all; one != nullptr; one = one->ifa_next) {
    if (one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET) continue;
    if ((one->ifa_flags & IFF_UP) == 0 || (one->ifa_flags & IFF_LOOPBACK) != 0) continue;
    const ip::address_v4 address(ntohl(reinterpret_cast<const sockaddr_in*>(one->ifa_addr)->sin_addr.s_addr));
    if (is_local(address)) found.push_back(address.to_string());
  }
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  if (found.size() == 1) return found.front();
  std::string list;
  for (const auto& one : found) list += (list.empty() ? "" : ", ") + one;
  return tl::unexpected(found.empty()
                            ? problem_of("this machine has no address on a local network",
                                         "a network it is connected to", "connect it, or name the address after --lan")
                            : problem_of("this machine has several addresses: " + list, "one", "name it after --lan"));
}

}  // namespace tackcloth::service
